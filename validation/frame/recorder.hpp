#pragma once

#include <frame/references.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::validation {

/// What an expected value is worth.
enum class Kind {
    published,          ///< read in the work named
    computed_reference, ///< computed by another method than the library's
    common_practice,    ///< a rule of the trade, no source
    memory,             ///< attributed to the work named, from memory
};

std::string_view name(Kind kind);

/// Where an expected value stands. `key` is that of references.bib; it is empty for a rule of the trade, and
/// for a computed reference that follows no printed method.
struct Source {
    std::string key;
    std::string where; ///< table, equation, page; or how the reference was computed

    bool operator==(const Source&) const = default;
};

/// The source of every rule of the trade, which the name and the tolerance of its check spell out.
Source no_source();

/// How far a computed value may lie from the expected one, or on which side of it, and why.
struct Tolerance {
    enum class Measure { relative, absolute, at_least, at_most };

    Measure measure = Measure::relative;
    double size = 0.0; ///< [-], or in the unit of the check; 0 of a bound
    std::string why;   ///< "table prints four decimals"

    /// Whether the expected value is a bound: the least or the most that may be.
    bool is_bound() const { return measure == Measure::at_least || measure == Measure::at_most; }
};

std::string_view name(Tolerance::Measure measure);

Tolerance relative(double size, std::string why);
Tolerance absolute(double size, std::string why);
Tolerance at_least(std::string why);
Tolerance at_most(std::string why);

/// One number of the library beside the same number from outside it.
struct Check {
    std::string name; ///< "case 2l, b/a = 0.3: lift at the rim"
    Source source;
    Kind kind = Kind::published;
    double expected = 0.0;
    double got = 0.0;
    Tolerance tolerance;
    std::string unit; ///< of both values, SI; empty: dimensionless

    /// False when `got` is not finite.
    bool passed() const;

    /// Decimal digits that agree, −log10 of the relative difference, at most 16; none where the expected
    /// value is 0 or a bound, or `got` is not finite.
    std::optional<double> digits() const;
};

/// Collects the checks of one module.
class Recorder {
public:
    Recorder(std::string module, const References& references);

    /// Throws std::invalid_argument for a check that says too little to be judged: no name, no `where`, a
    /// source key missing or not in references.bib, a rule of the trade with a source, an expected value that
    /// is not finite, a tolerance that is not positive or gives no reason, a relative one about 0, a bound
    /// with a tolerance.
    void add(Check check);

    const std::string& module() const { return m_module; }
    const std::vector<Check>& checks() const { return m_checks; }

private:
    std::string m_module;
    const References& m_references;
    std::vector<Check> m_checks;
};

} // namespace valve::validation
