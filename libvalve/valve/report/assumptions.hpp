#pragma once

#include <valve/damper/model.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// "clamped", "free edge", "guided edge".
std::string_view words(stack::InnerEdge edge);

/// "linear plates"; of large deflection also in which shape stacks are taken: "large-deflection plates, as
/// they bend round the ring".
std::string words(stack::Theory theory, bool bends);

/// "as it bends", "round".
std::string_view shape_name(bool bends);

/// "hub", "seat".
std::string_view words(stack::RestsOn rests_on);

/// How the ports lie under the face shim: "ring", "windows" or "unknown".
std::string_view port_pattern(const stack::Stack& stack);

/// The same in words: "one ring", "4 windows of 54°, evenly round the ring", ….
std::string port_pattern_words(const stack::Stack& stack);

/// Arc of one of a stack's windows [rad].
double window_arc(const stack::Stack& stack);

/// "base.refill (free edge, rests on hub)": the choices that decide a floated stack's forces.
/// Empty where no stack floats.
std::string floated_valves(const damper::SetUp& unit);

/// The places as a list of their names: "base.refill".
Json json(const std::vector<damper::Place>& places);

/// "base.refill buckles …": stacks in motion that stay round for want of another shape. Empty where none
/// does.
std::string left_round_words(const std::vector<damper::Place>& places);

/// That forces are far above steady ones where valves swing by themselves (`valves`: each with how often), as
/// a sentence that begins small, and what that is of `run` ("cycle"); `told` stands between.
std::string swinging_words(const std::vector<std::string>& valves, std::string_view told,
                           std::string_view run);

/// "the balance of energy is open by 2.8e-06.": what does not close, oil to 1e-10 and energy to
/// `most_energy`.
std::vector<std::string> open_balances(const motion::Balance& balance, double most_energy);

/// What the rod leaves into: "atmosphere", "leg" (air), or of an open cartridge "reservoir".
std::string_view rod_into(const damper::SetUp& unit, damper::RodInto asked);

/// The same in a sentence: "leaves into the …".
std::string_view rod_into_words(const damper::SetUp& unit, damper::RodInto asked);

/// [{key, value}] as they could stand in the file.
Json json(const std::vector<setup::DefaultUsed>& defaults);

/// One line: how many values the file left to their defaults, and where to see them.
std::string defaults_line(const std::vector<setup::DefaultUsed>& defaults);

} // namespace valve::report
