#include <notes/variants.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <stdexcept>
#include <tuple>

namespace valve::validation::notes {
namespace {

using damper::Place;

constexpr double width = 2.0 * mm; // of one notch
constexpr int most_notches = 4;
constexpr std::array<double, 8> slow{0.05, 0.1, 0.2, 0.3, -0.05, -0.1, -0.2, -0.3}; // [m/s]

/// The fork with so many notches in the face shim at `place`. Between the same two chambers one bleed is as
/// good as another: the notches stand at `bleeds`, a valve there that has none yet.
damper::SetUp notched(const damper::SetUp& found, Place place, Place bleeds, int notches) {
    damper::SetUp fork = found;
    if (fork.valves[bleeds].value().bleed) throw std::runtime_error("the demo fork has a bleed there");
    const double thickness = found.valves[place].value().stack.shims.front().thickness;
    fork.valves[bleeds].value().bleed = flow::Notch{notches * width * thickness, thickness};
    return fork;
}

/// Adds what the area of notches does at low speed; the largest change of the damping force by one notch.
double tabulate_bleeds(Demo& demo, Note& note) {
    const std::vector<double> found = demo.damping_forces(demo.fork(), slow);
    std::string heading = fmt::format("{:<28}", "damping force, speeds [m/s]");
    std::string line = fmt::format("{:<28}", "  as found, no notch [N]");
    for (std::size_t k = 0; k < slow.size(); ++k) {
        heading += fmt::format("{:>11g}", slow[k]);
        line += fmt::format("{:>11.1f}", found[k]);
    }
    note.lines.push_back(heading);
    note.lines.push_back(line);
    double by_one = 0.0;
    double by_more = 0.0;
    for (const auto& [name, place, bleeds] :
         {std::tuple{"base", Place::base_compression, Place::base_refill},
          std::tuple{"mid-valve", Place::piston_compression, Place::piston_compression}})
        for (const int notches : {1, 2, most_notches}) {
            const damper::SetUp fork = notched(demo.fork(), place, bleeds, notches);
            const std::vector<double> changed = demo.damping_forces(fork, slow);
            const double area = std::get<flow::Notch>(*fork.valves[bleeds]->bleed).area;
            line = fmt::format("  {:<11}{} of {:.1f} mm2 ", name, notches, area / (notches * mm * mm));
            for (std::size_t k = 0; k < slow.size(); ++k)
                line += percent(changed[k], found[k], notches == 1 ? by_one : by_more);
            note.lines.push_back(line);
        }
    return by_one;
}

/// Share of the rim that the notches take away.
double share_cut(const stack::Stack& stack) {
    return most_notches * width / (2.0 * std::numbers::pi * stack.shims.front().outer_radius);
}

/// As if the notches went all the way in: bending and membrane stiffness less their share of the rim.
/// Too much near the clamp, where there is no notch; too little at the rim, where the hoop is cut.
void weaken(stack::Stack& stack) {
    stack.shims.front().material.youngs_modulus *= 1.0 - share_cut(stack);
}

void bracket_check(const NamedStack& named, Recorder& recorder) {
    stack::Stack weaker = named.stack;
    weaken(weaker);
    stack::Stack without = named.stack;
    drop_face_shim(without);
    if (without == named.stack) return;
    const double pressure = pressures.back();
    const double most = stack::Solution(without).at(pressure).seat_lift;
    recorder.add({named.name + ", notched: lift, 10 bar",
                  {"", "without the face shim"},
                  Kind::computed_reference,
                  most,
                  stack::Solution(weaker).at(pressure).seat_lift,
                  at_most("what is left of the face shim still carries"),
                  "m"});
}

} // namespace

Note notch_note(Demo& demo, Recorder& recorder) {
    Note note{"3. Notched face shim: notches 2 mm wide, through the shim"};
    const double by_one = tabulate_bleeds(demo, note);
    const stack::Stack& base = demo.stacks().front().stack;
    note.lines.push_back(
        fmt::format("Metal that {} notches take, {:.0f} % of the rim of the base's {:.0f} mm:", most_notches,
                    100.0 * share_cut(base), 2.0 * base.shims.front().outer_radius / mm));
    const std::array<Variant, 2> variants{
        {{"face shim weaker by its share", weaken}, {"no face shim at all (outer bound)", drop_face_shim}}};
    const std::vector<Largest> largest = tabulate(demo, variants, note);
    note.verdict =
        verdict(by_one >= demo.half_a_step(),
                fmt::format("as a bleed one notch changes the damping force up to 0.3 m/s by up to {:.0f} %",
                            100.0 * by_one)) +
        ";\n  " +
        verdict(largest[0].force >= demo.half_a_step(),
                fmt::format("as missing metal about {:.1f} % of the damping force at 1 and 3 m/s (estimate; "
                            "not more than {:.1f} %)",
                            100.0 * largest[0].force, 100.0 * largest[1].force));
    for (const NamedStack& named : demo.stacks())
        bracket_check(named, recorder);
    return note;
}

} // namespace valve::validation::notes
