#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/report/figures.hpp>
#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/run.hpp>
#include <valve/study/warning.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::report {

/// What one changed key does by itself. Without headline where the set-up cannot stand or be solved so.
struct Trial {
    std::string key;
    std::optional<Headline> undone;  ///< the variant without it
    std::optional<Headline> applied; ///< the reference with it alone
};

/// What one key does to one figure, in parts of the whole change.
struct Share {
    std::string key;
    std::optional<double> value;   ///< of the figure with the key undone
    std::optional<double> undone;  ///< what undoing it takes back; 1 = all of it
    std::optional<double> applied; ///< what it alone brings about
};

/// How the keys named for a change make it.
enum class Cause {
    one_key,
    together,    ///< undoing any of them takes back a part
    overlapping, ///< undoing one takes back little, since the others do what it did
    unclear      ///< no trial shows it: all keys are named
};

/// A figure that moved from the reference to a variant.
struct Change {
    Figure from;
    Figure to;
    Cause cause = Cause::unclear;
    std::vector<std::string> because; ///< keys
    std::vector<Share> shares;        ///< every changed key
    double noticed = 0.0;             ///< the change in steps that a rider notices [-]

    /// "valves.base.refill.float.rate"; "together: a, b".
    std::string because_words() const;
};

/// A variant beside the reference.
struct Variant {
    std::vector<setup::Difference> differences;
    std::vector<Change> changes;
    std::vector<Figure> unchanged;
};

/// True where a difference is one that a tuner can neither read in the tables nor feel: at most 1 %, or at
/// most 0.01 m/s, 0.01 bar, 1 N, 0.5 mm or 1 J.
bool alike(const Figure& from, const Figure& to, double top_speed);

/// Sorts the figures of a variant into changed and unchanged, and puts each change down to keys by
/// rule_of_causes(), in the order of rule_of_order(). Figures that are unsolved on either side are left out.
Variant attribute(const Headline& from, const Headline& to, std::vector<setup::Difference> differences,
                  const std::vector<Trial>& trials);

/// The rule above, for those who read the result.
std::string_view rule_of_causes();

/// Which change is told first, for the same readers.
std::string_view rule_of_order();

/// Two or more set-ups side by side; the first is the reference.
struct Comparison {
    struct Entry {
        std::string file;
        setup::Reading reading;
        Headline headline;
        std::optional<study::RunBeside> measured = std::nullopt;
        std::vector<study::Warning> shim_warnings = {}; ///< as of its curve
    };

    std::vector<Entry> setups;
    std::vector<Variant> variants; ///< of setups[1], setups[2], …

    /// Some figure of a set-up could not be solved.
    bool failed() const;
};

struct CompareOptions {
    std::optional<double> travel; ///< rod travel from full extension [m]; none: mid travel of each
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    double top_speed = 4.0;                           ///< of the search for onsets [m/s]
    std::optional<study::RunFile> run = std::nullopt; ///< to lay over each
};

/// Solves set-ups side by side (stress too, where the strips of all state a limit; static support, where all
/// have one; sag, where all say what the wheel carries), and each variant again with every changed key undone
/// (and, where that shows no cause, the reference with every changed key alone). Throws InputError for a
/// document that cannot be read or holds no damper, SolveError where a stack has no lift curve.
Comparison compare(const std::vector<setup::Document>& documents, const CompareOptions& options,
                   damper::LiftCache& lifts);

Json json(const Comparison& comparison);

/// Sentences for each variant, then the figures side by side.
std::string text(const Comparison& comparison);

/// One line a figure and set-up; with a run, one line a speed and set-up.
Json points(const Comparison& comparison);

/// What moved, clauses with one cause in one sentence, in the order of the changes.
std::vector<std::string> sentences(const Variant& variant, double top_speed);

/// "unchanged within 1 %: …"; empty if everything moved.
std::string unchanged_line(const Variant& variant, double top_speed);

} // namespace valve::report
