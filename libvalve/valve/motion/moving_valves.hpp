#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/model.hpp>
#include <valve/damper/spec.hpp>
#include <valve/motion/moving_valve.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>

namespace valve::motion {

/// The valves of a damper that move: all that it has. None at all: they follow the pressure at once.
struct MovingValves {
    std::array<std::optional<MovingValve>, 4> at_place; ///< in the order of damper::all_places

    std::optional<MovingValve>& operator[](damper::Place place) {
        return at_place.at(static_cast<std::size_t>(place));
    }
    const std::optional<MovingValve>& operator[](damper::Place place) const {
        return at_place.at(static_cast<std::size_t>(place));
    }

    bool none() const {
        return std::none_of(at_place.begin(), at_place.end(),
                            [](const std::optional<MovingValve>& valve) { return valve.has_value(); });
    }

    /// The same, their shims sliding without friction.
    MovingValves without_friction() const;
};

/// Throws std::invalid_argument, naming the first place, where some valves of `setup` move and others do not,
/// or one that it does not have.
void require_all_or_none(const MovingValves& valves, const damper::SetUp& setup);

/// The valves of `model`, ready to move in the shape that `cache` asks for. Throws SolveError, with its name,
/// for one that cannot.
MovingValves moving_valves(const damper::Model& model, damper::LiftCache& cache);

} // namespace valve::motion
