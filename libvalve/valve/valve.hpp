#pragma once

/// What a user of the library needs: read or build a set-up, solve its stacks, its steady curve, a cycle and
/// a ride in time, its support. No header that is installed needs one of another library.

#include <valve/core/error.hpp>           // what is thrown
#include <valve/core/findings.hpp>        // what check() finds
#include <valve/damper/lift_cache.hpp>    // the stacks of set-ups, solved once
#include <valve/damper/onset.hpp>         // from which rod speed something begins
#include <valve/damper/spec.hpp>          // a set-up as a struct, and check()
#include <valve/damper/steady.hpp>        // force and pressures against rod speed
#include <valve/damper/support.hpp>       // springs, gas and stop against travel
#include <valve/flow/valve_law.hpp>       // one valve: flow against pressure
#include <valve/motion/cycle.hpp>         // a dynamometer cycle in time
#include <valve/motion/moving_valves.hpp> // valves with mass, for both
#include <valve/motion/ride.hpp>          // a wheel over the ground
#include <valve/motion/stability.hpp>     // whether valves swing at constant rod speed
#include <valve/setup/document.hpp>       // files, or text in memory
#include <valve/setup/event.hpp>          // a file with what is ridden over
#include <valve/setup/parameter.hpp>      // keys: read and edit by name
#include <valve/setup/read.hpp>           // a document, understood
#include <valve/stack/solution.hpp>       // one stack, solved
#include <valve/stack/solutions.hpp>      // many, each once
