#pragma once

#include <damper/samples.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/valve_profiles.hpp>

namespace valve::samples {

/// The sample fork with shims so thin that they buckle into waves at slow speeds, without bleeds.
inline damper::SetUp thin_fork() {
    damper::SetUp setup = fork();
    for (const damper::Place place : damper::all_places) {
        setup.valves[place]->stack.shims.front().thickness = 0.09e-3;
        setup.valves[place]->bleed.reset();
    }
    return setup;
}

/// Its valves in motion, in the shape that `cache` asks for.
inline motion::MovingValves moving(const damper::Model& model, damper::LiftCache& cache) {
    motion::MovingValves valves;
    for (const damper::Place place : damper::all_places) {
        const auto& valve = model.setup().valves[place];
        if (!valve) continue;
        const auto solution = cache.solution(valve->stack);
        const flow::ValveLaw::Bent bent = cache.bent(*valve);
        const double density = model.oil().density;
        valves.at(static_cast<std::size_t>(place))
            .emplace(*valve,
                     bent ? motion::bent_profile_of(bent, density)
                          : motion::profile_of(valve->stack, solution->motion(), density),
                     solution->curve().load_area, model.oil());
    }
    return valves;
}

} // namespace valve::samples
