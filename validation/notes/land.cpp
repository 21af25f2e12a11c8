#include <notes/variants.hpp>
#include <valve/stack/detail/load.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

namespace valve::validation::notes {
namespace {

Variant land(double width) {
    return {fmt::format("land {:.1f} mm wide", width / mm),
            [width](stack::Stack& stack) { stack.seat.outer_radius = stack.seat.inner_radius + width; }};
}

} // namespace

Note land_note(Demo& demo, Recorder& recorder) {
    Note note{"2. Width of the land, over which the load falls to nothing (as found: 0.5 mm)"};
    const std::array<Variant, 2> variants{land(0.0), land(1.0 * mm)};
    const std::vector<Largest> largest = tabulate(demo, variants, note);
    const double force = std::max(largest[0].force, largest[1].force);
    note.verdict =
        verdict(force >= demo.half_a_step(),
                fmt::format("a knife edge or 1 mm in place of 0.5 mm changes the damping force by up "
                            "to {:.1f} %, the lift at one pressure by up to {:.0f} %",
                            100.0 * force, 100.0 * std::max(largest[0].lift, largest[1].lift)));
    for (const NamedStack& named : demo.stacks()) {
        stack::Stack edge = named.stack;
        variants[0].apply(edge);
        const double inner = std::max(edge.zone.inner_radius, edge.clamp_radius);
        const double seat = edge.seat.inner_radius;
        recorder.add({named.name + ", knife edge: load area",
                      {"", "area of the ring from the zone's inner edge to the seat's"},
                      Kind::computed_reference,
                      edge.coverage * std::numbers::pi * (seat * seat - inner * inner),
                      stack::load_area(edge),
                      relative(1e-12, "rounding"),
                      "m2"});
    }
    return note;
}

} // namespace valve::validation::notes
