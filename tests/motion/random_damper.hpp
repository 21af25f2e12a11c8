#pragma once

#include <damper/draw.hpp>
#include <valve/motion/cycle.hpp>

#include <array>
#include <optional>
#include <vector>

namespace valve::tests {

/// A damper drawn at random, with lift laws that follow no stack and profiles to move by.
struct RandomDamper {
    explicit RandomDamper(Draw& draw) : setup(draw.setup()) {
        setup.oil.free_air = draw.decades(1e-3, 5e-2);
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (!setup.valves.at_place.at(i)) continue;
            std::vector<double> pressures{0.0, draw.decades(0.001e5, 5e5)};
            std::vector<double> lifts{0.0, 0.0};
            std::vector<motion::ProfilePoint>& profile = points[i].emplace();
            const double mass = draw.decades(0.3e-3, 20e-3);
            const motion::ProfileSide side{draw.between(1.5e-4, 3e-4), mass};
            profile.push_back({0.0, pressures.back(), side, side});
            for (int k = 0; k < 8; ++k) {
                pressures.push_back(pressures.back() + draw.decades(0.01e5, 20e5));
                lifts.push_back(lifts.back() + draw.decades(1e-6, 0.4e-3));
                const motion::ProfileSide here{draw.between(1.5e-4, 3e-4), mass * draw.between(0.5, 1.5)};
                profile.push_back({lifts.back(), pressures.back(), here, here});
            }
            laws.at_place.at(i) = stack::LiftLaw(pressures, lifts, 2.5e-4);
        }
    }

    /// Its valves, each moving by the law drawn for it, with a mass of its own.
    motion::MovingValves moving(Draw& draw, const damper::Model& model) const {
        motion::MovingValves valves;
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (!points[i]) continue;
            const std::optional<double> stop =
                draw.chance(0.3) ? std::optional<double>(points[i]->back().lift) : std::nullopt;
            valves.at_place[i].emplace(*model.setup().valves.at_place.at(i),
                                       motion::Profile(*points[i], stop), 2.5e-4, model.oil());
        }
        return valves;
    }

    damper::SetUp setup;
    damper::LiftLaws laws;
    std::array<std::optional<std::vector<motion::ProfilePoint>>, 4> points;
};

} // namespace valve::tests
