#pragma once

#include <damper/samples.hpp>

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

} // namespace valve::samples
