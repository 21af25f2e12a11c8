#include <valve/core/findings.hpp>
#include <valve/core/units.hpp>

#include <fmt/format.h>

#include <cmath>

namespace valve {

namespace {

std::string told(double value, std::string_view unit) {
    return fmt::format("{:.10g}{}{}", value, unit.empty() ? "" : " ", unit);
}

} // namespace

bool require(Findings& findings, const std::string& key, double value, const Limits& limits) {
    const Unit& in = unit(limits.unit);
    const double low = to_si(limits.low, in);
    const bool high_enough = limits.low_included ? value >= low : value > low;
    if (high_enough && value <= to_si(limits.high, in)) return true;
    const std::string high = told(limits.high, in.symbol);
    add_error(findings, key,
              fmt::format("{} {}; expected {}{}{}", told(from_si(value, in), in.symbol),
                          std::isfinite(value) ? "is out of range" : "is not a finite number",
                          limits.low_included
                              ? fmt::format("{:.10g} to {}", limits.low, high)
                              : fmt::format("more than {:.10g}, at most {}", limits.low, high),
                          limits.of.empty() ? "" : " ", limits.of));
    return false;
}

bool require_count(Findings& findings, const std::string& key, long value, long low, long high) {
    if (value >= low && value <= high) return true;
    add_error(findings, key, fmt::format("{} is out of range; expected {} to {}", value, low, high));
    return false;
}

} // namespace valve
