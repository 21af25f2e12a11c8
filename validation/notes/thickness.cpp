#include <notes/variants.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::validation::notes {
namespace {

constexpr double tolerance = 0.005 * mm; // of strip 0.15 mm thick; from memory, no source

void face_thicker(stack::Stack& stack, double by) {
    stack.shims.front().thickness += by;
}

void all_thicker(stack::Stack& stack, double by) {
    for (stack::Shim& shim : stack.shims)
        shim.thickness += by;
}

/// One linear shim is as stiff as the cube of its thickness.
void cube_checks(const stack::Stack& one, Recorder& recorder) {
    auto lift = [&one](double by) {
        stack::Stack stack = one;
        all_thicker(stack, by);
        return stack::Solution(stack, {.theory = stack::Theory::linear}).at(pressures.front()).seat_lift;
    };
    for (const double by : {-tolerance, tolerance})
        recorder.add({fmt::format("one linear shim, {:+.3f} mm: lift ratio", by / mm),
                      {"", "t^-3, D = E t³/12(1 − ν²)"},
                      Kind::computed_reference,
                      std::pow(1.0 + by / one.shims.front().thickness, -3.0),
                      lift(by) / lift(0.0),
                      relative(1e-9, "one and the same mesh: rounding"),
                      ""});
}

void bracket_check(const NamedStack& named, Recorder& recorder) {
    stack::Stack thick = named.stack;
    all_thicker(thick, tolerance);
    const stack::Solution thicker(thick);
    const stack::Solution found(named.stack);
    double largest = 0.0;
    for (const double pressure : pressures)
        largest = std::max(largest, thicker.at(pressure).seat_lift / found.at(pressure).seat_lift);
    recorder.add({named.name + ", thicker: lift ratio",
                  {"", "all shims 0.005 mm thicker, over as found"},
                  Kind::computed_reference,
                  1.0,
                  largest,
                  at_most("a stiffer stack lifts less"),
                  ""});
}

} // namespace

Note thickness_note(Demo& demo, Recorder& recorder) {
    Note note{"1. Thickness tolerance of shims, 0.005 mm either way"};
    const std::array<Variant, 4> variants{
        {{"face shim 0.005 mm thinner", [](stack::Stack& stack) { face_thicker(stack, -tolerance); }},
         {"face shim 0.005 mm thicker", [](stack::Stack& stack) { face_thicker(stack, tolerance); }},
         {"all shims 0.005 mm thinner", [](stack::Stack& stack) { all_thicker(stack, -tolerance); }},
         {"all shims 0.005 mm thicker", [](stack::Stack& stack) { all_thicker(stack, tolerance); }}}};
    const std::vector<Largest> largest = tabulate(demo, variants, note);
    const double face = std::max(largest[0].force, largest[1].force);
    const double all = std::max(largest[2].force, largest[3].force);
    note.verdict =
        verdict(
            all >= demo.half_a_step(),
            fmt::format("all shims of a fork from one end of the tolerance change its damping force by up "
                        "to {:.1f} %, the lift at one pressure by up to {:.0f} %",
                        100.0 * all, 100.0 * std::max(largest[2].lift, largest[3].lift))) +
        ";\n  " +
        verdict(face >= demo.half_a_step(),
                fmt::format("the face shims alone, {:.1f} % of the damping force", 100.0 * face));
    cube_checks(demo.stacks().back().stack, recorder);
    for (const NamedStack& named : demo.stacks())
        bracket_check(named, recorder);
    return note;
}

} // namespace valve::validation::notes
