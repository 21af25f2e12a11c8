#pragma once

#include <valve/setup/document.hpp>

#include <string>
#include <string_view>

namespace valve::report {

/// A place of a valve in words of the bench: "check plate" for "base.refill"; other names as they are.
std::string valve_words(std::string_view name);

/// A dotted key in words of the bench: "the check plate's coil" for "valves.base.refill.float.rate".
std::string key_words(std::string_view key);

/// As said beside its words: "base.refill.float.rate".
std::string short_key(std::string_view key);

/// What a value became: "60 → 0.8 N/mm"; "2 * 26 x 0.35 → 26 x 0.20"; "spring-backed piston → bladder".
std::string step_words(const setup::Difference& difference);

/// "the check plate's coil, 60 → 0.8 N/mm (base.refill.float.rate)".
std::string change_words(const setup::Difference& difference);

} // namespace valve::report
