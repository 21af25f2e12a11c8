#include <motion/two_discs.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <string>
#include <utility>

namespace valve::validation {

TwoDiscs two_discs(double length) {
    const std::string in_mm = fmt::format("{:.9g} mm", length * 1e3);
    const setup::Reading reading =
        setup::read(setup::Document::load(VALVE_TWO_DISCS, {{"valves.piston.compression.ports.length", in_mm},
                                                            {"valves.piston.rebound.ports.length", in_mm}}));
    damper::LiftCache cache;
    damper::Model model = cache.model(*reading.unit);
    motion::MovingValves valves = motion::moving_valves(model, cache);
    return {std::move(model), std::move(valves)};
}

motion::Input two_discs_input() {
    return motion::Input::sine(30e-3, 50e-3, 5.0);
}

} // namespace valve::validation
