#include <notes/variants.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <limits>

namespace valve::validation::notes {
namespace {

/// A clamped stack under a washer smaller than its hub. No load there pushes shims towards the hub, so the
/// washer's edge is the clamp: see lowest_on_hub().
Variant washer(double smaller) {
    return {fmt::format("washer {:.0f} mm smaller than the hub", 2.0 * smaller / mm),
            [smaller](stack::Stack& stack) {
                if (!stack.floating) stack.clamp_radius = stack.bore_radius = stack.clamp_radius - smaller;
            }};
}

/// The same, with the full pressure under the shims down to the washer.
Variant flooded_washer(double smaller) {
    const Variant dry = washer(smaller);
    return {"  and pressure down to it", [dry](stack::Stack& stack) {
                dry.apply(stack);
                if (!stack.floating) stack.zone.inner_radius = stack.clamp_radius;
            }};
}

/// Lowest the face shim lies over its hub of the radius `hub` under no and the usual pressures, the clamp
/// itself apart [m]. Where it is above zero the hub beyond the washer carries nothing.
double lowest_on_hub(const stack::Stack& stack, double hub) {
    double lowest = std::numeric_limits<double>::infinity();
    const stack::Solution solution(stack);
    for (const double pressure : pressures) {
        const stack::ShimShape face = solution.shape(pressure).shims.front();
        for (std::size_t i = 1; i < face.radius.size() && face.radius[i] <= hub; ++i)
            lowest = std::min(lowest, face.lift[i]);
    }
    return lowest;
}

void checks(const NamedStack& named, const Variant& variant, Recorder& recorder) {
    stack::Stack stack = named.stack;
    variant.apply(stack);
    recorder.add({named.name + ", washer: lowest on hub",
                  {"", "the hub's face"},
                  Kind::computed_reference,
                  0.0,
                  lowest_on_hub(stack, named.stack.clamp_radius),
                  at_least("above it the hub beyond the washer carries nothing"),
                  "m"});
    const double pressure = pressures.back();
    recorder.add({named.name + ", washer: lift, 10 bar",
                  {"", "clamped over the whole hub"},
                  Kind::computed_reference,
                  stack::Solution(named.stack).at(pressure).seat_lift,
                  stack::Solution(stack).at(pressure).seat_lift,
                  at_least("less clamp lifts more"),
                  "m"});
}

} // namespace

Note hub_note(Demo& demo, Recorder& recorder) {
    Note note{"5. Clamp washer smaller than the hub's face (clamped stacks)"};
    const std::array<Variant, 3> variants{washer(0.5 * mm), washer(1.0 * mm), flooded_washer(1.0 * mm)};
    const std::vector<Largest> largest = tabulate(demo, variants, note);
    note.verdict = verdict(
        largest[0].force >= demo.half_a_step(),
        fmt::format("1 mm less across changes the damping force by up to {:.1f} %, 2 mm by {:.1f} %; shims "
                    "rise off the hub at once, so the key clamp is to be the washer's diameter",
                    100.0 * largest[0].force, 100.0 * largest[1].force));
    for (const NamedStack& named : demo.stacks())
        if (!named.stack.floating) checks(named, variants[1], recorder);
    return note;
}

} // namespace valve::validation::notes
