#include <frame/recorder.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::validation {
namespace {

/// What a check lacks; empty when it can be judged.
std::string lack(const Check& check, const References& references) {
    const bool cites = check.kind == Kind::published || check.kind == Kind::memory;
    if (check.name.empty()) return "has no name";
    if (cites && check.source.key.empty()) return "names no work";
    if (check.kind == Kind::common_practice && check.source != no_source())
        return "is common practice but names a source";
    if (!check.source.key.empty() && !references.contains(check.source.key))
        return fmt::format("names {}, which is not in references.bib", check.source.key);
    if (check.source.where.empty()) return "does not say where its expected value comes from";
    if (!std::isfinite(check.expected)) return fmt::format("expects {}", check.expected);
    const Tolerance& tolerance = check.tolerance;
    if (tolerance.is_bound() && tolerance.size != 0.0)
        return fmt::format("has a tolerance of {} on a bound", tolerance.size);
    if (!tolerance.is_bound() && (!(tolerance.size > 0.0) || !std::isfinite(tolerance.size)))
        return fmt::format("has a tolerance of {}", tolerance.size);
    if (tolerance.why.empty()) return "gives no reason for its tolerance";
    if (tolerance.measure == Tolerance::Measure::relative && check.expected == 0.0)
        return "has a relative tolerance about 0";
    return {};
}

} // namespace

Source no_source() {
    return {"", "common practice, no source"};
}

std::string_view name(Kind kind) {
    switch (kind) {
    case Kind::published:
        return "published";
    case Kind::computed_reference:
        return "computed reference";
    case Kind::common_practice:
        return "common practice";
    case Kind::memory:
        return "memory";
    }
    throw std::invalid_argument("no such kind of check");
}

std::string_view name(Tolerance::Measure measure) {
    switch (measure) {
    case Tolerance::Measure::relative:
        return "relative";
    case Tolerance::Measure::absolute:
        return "absolute";
    case Tolerance::Measure::at_least:
        return "at least";
    case Tolerance::Measure::at_most:
        return "at most";
    }
    throw std::invalid_argument("no such measure of a tolerance");
}

Tolerance relative(double size, std::string why) {
    return {Tolerance::Measure::relative, size, std::move(why)};
}

Tolerance absolute(double size, std::string why) {
    return {Tolerance::Measure::absolute, size, std::move(why)};
}

Tolerance at_least(std::string why) {
    return {Tolerance::Measure::at_least, 0.0, std::move(why)};
}

Tolerance at_most(std::string why) {
    return {Tolerance::Measure::at_most, 0.0, std::move(why)};
}

bool Check::passed() const {
    if (!std::isfinite(got)) return false;
    switch (tolerance.measure) {
    case Tolerance::Measure::relative:
        return std::abs(got - expected) <= tolerance.size * std::abs(expected);
    case Tolerance::Measure::absolute:
        return std::abs(got - expected) <= tolerance.size;
    case Tolerance::Measure::at_least:
        return got >= expected;
    case Tolerance::Measure::at_most:
        return got <= expected;
    }
    return false;
}

std::optional<double> Check::digits() const {
    constexpr double most = 16.0;
    if (expected == 0.0 || tolerance.is_bound() || !std::isfinite(got)) return std::nullopt;
    const double difference = std::abs((got - expected) / expected);
    return difference == 0.0 ? most : std::min(most, -std::log10(difference));
}

Recorder::Recorder(std::string module, const References& references)
    : m_module(std::move(module)), m_references(references) {}

void Recorder::add(Check check) {
    if (const std::string missing = lack(check, m_references); !missing.empty())
        throw std::invalid_argument(fmt::format("check \"{}\" of {} {}", check.name, m_module, missing));
    m_checks.push_back(std::move(check));
}

} // namespace valve::validation
