#include <notes/variants.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace valve::validation::notes {
namespace {

// Oiled steel on steel: from memory and common practice, no source.
constexpr double least = 0.10;
constexpr double most = 0.15;

/// Adds the half widths of open stacks; the largest of them, and that of the shim alone.
std::pair<double, double> tabulate_shares(Demo& demo, Note& note) {
    note.lines.push_back(fmt::format("{:<38}{:>11}{:>11}{:>11}", "half width, share of the pressure", "2 bar",
                                     "5 bar", "10 bar"));
    double largest = 0.0;
    double alone = 0.0;
    for (const NamedStack& named : demo.stacks()) {
        const Opening opening = demo.opening(named.stack);
        const auto solution = demo.solution(named.stack);
        for (const double coefficient : {least, most}) {
            std::string line = fmt::format("{:<30}mu {:.2f} ", named.name, coefficient);
            for (std::size_t k = 0; k < pressures.size(); ++k) {
                if (opening.lift[k] == 0.0) {
                    line += fmt::format("{:>11}", "closed");
                    continue;
                }
                const double share = solution->friction(pressures[k], coefficient).share;
                line += fmt::format("{:>9.2f} %", 100.0 * share);
                largest = std::max(largest, share);
                if (named.stack.shims.size() == 1) alone = std::max(alone, share);
            }
            note.lines.push_back(line);
        }
    }
    return {largest, alone};
}

/// The part of a lift curve where its stack is open, and what a coefficient of 1 would make of it.
struct OpenPart {
    stack::LiftCurve curve; ///< points with lift only
    std::vector<stack::FrictionEstimate> unit;
};

OpenPart open_part(const stack::Solution& solution) {
    OpenPart part{solution.curve(), {}};
    std::erase_if(part.curve.points, [](const stack::LiftPoint& point) { return !(point.seat_lift > 0.0); });
    for (const stack::LiftPoint& point : part.curve.points)
        part.unit.push_back(solution.friction(point.pressure, 1.0));
    return part;
}

/// The lift law on the way up (coefficient above zero) or back (below): each lift at a pressure by its half
/// width apart. The half width drops where a contact opens, so that a lift may move past the next one: then
/// that is left out.
stack::LiftLaw with_friction(const OpenPart& part, double coefficient) {
    auto moved = [&](double pressure, std::size_t k) { // no lower than none: friction may hold a stack open
        return std::max(0.0, pressure * (1.0 + coefficient * part.unit[k].share));
    };
    std::vector<double> at{moved(part.curve.crack_pressure, 0)};
    std::vector<double> lifts{0.0};
    for (std::size_t k = 0; k < part.unit.size(); ++k) {
        const double pressure = moved(part.unit[k].pressure, k);
        if (pressure <= at.back()) continue;
        at.push_back(pressure);
        lifts.push_back(part.curve.points[k].seat_lift);
    }
    return {std::move(at), std::move(lifts), part.curve.load_area};
}

/// Adds what that makes of the fork's damping force; the largest change by the least and the most friction.
std::pair<double, double> tabulate_forces(Demo& demo, Note& note) {
    const std::vector<double> found = tabulate_found(demo, note);
    std::vector<OpenPart> parts;
    for (const damper::Place place : damper::all_places)
        parts.push_back(open_part(*demo.solution(demo.fork().valves[place].value().stack)));
    std::pair<double, double> largest{0.0, 0.0};
    for (const double coefficient : {least, most})
        for (const double way : {1.0, -1.0}) {
            damper::LiftLaws laws = demo.laws();
            for (std::size_t i = 0; i < parts.size(); ++i)
                laws.at_place[i] = with_friction(parts[i], way * coefficient);
            const std::vector<double> forces = demo.damping_forces(demo.fork(), laws, speeds);
            std::string line =
                fmt::format("  mu {:.2f}, speed {:<21}", coefficient, way > 0.0 ? "rising" : "falling");
            for (std::size_t k = 0; k < speeds.size(); ++k)
                line += percent(forces[k], found[k], coefficient == most ? largest.second : largest.first);
            note.lines.push_back(line);
        }
    return largest;
}

} // namespace

Note friction_note(Demo& demo, Recorder& recorder) {
    Note note{
        "4. Friction between shims: hysteresis estimated from contact forces and slip without friction"};
    const auto [share, alone] = tabulate_shares(demo, note);
    const auto [force_least, force_most] = tabulate_forces(demo, note);
    note.verdict = verdict(
        force_most >= demo.half_a_step(),
        fmt::format("at a coefficient of {:.2f} a stack needs up to {:.1f} % more pressure on the way "
                    "up and as much less on the way back;\n  damping force {:.1f} % either way, at {:.2f} "
                    "{:.1f} %",
                    most, 100.0 * share, 100.0 * force_most, least, 100.0 * force_least));
    recorder.add({"one shim: half width of its hysteresis",
                  {"", "no neighbour to slide on"},
                  Kind::computed_reference,
                  0.0,
                  alone,
                  absolute(1e-15, "nothing is added up"),
                  ""});
    return note;
}

} // namespace valve::validation::notes
