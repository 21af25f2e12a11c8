#include <valve/report/end_cups.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <cmath>
#include <string_view>

namespace valve::report {

namespace {

using damper::EndCup;
using damper::Stroke;

std::string_view key(Stroke stroke) {
    return stroke == Stroke::compression ? "end_of_stroke" : "top_out";
}

std::string line(const EndCup& cup, Stroke stroke) {
    const bool in_C = stroke == Stroke::compression;
    std::string gap = trim_mm(cup.gap) + " mm";
    if (cup.entry_gap != cup.gap) gap = fmt::format("{} to {}", trim_mm(cup.entry_gap), gap);
    std::string text =
        fmt::format("{}: a plug of {} mm enters its cup over the {} {} mm of travel, in {}, gap {}",
                    in_C ? "end of stroke" : "top out", trim_mm(cup.plug), in_C ? "last" : "first",
                    trim_mm(cup.length), in_C ? "C" : "R round the rod", gap);
    if (cup.hole) text += fmt::format(", hole Ø {}", trim_mm(*cup.hole));
    if (cup.ways == flow::BleedWays::one) text += "; a check lets it leave freely";
    return text;
}

/// The fastest point that was solved with the plug going in.
const damper::SteadyPoint* fastest_in(const damper::Curve& curve, Stroke stroke) {
    const damper::SteadyPoint* fastest = nullptr;
    for (const damper::SteadyPoint& point : curve.points) {
        const bool goes_in = (point.speed > 0.0) == (stroke == Stroke::compression) && point.speed != 0.0;
        if (point.error || !goes_in) continue;
        if (fastest == nullptr || std::abs(point.speed) > std::abs(fastest->speed)) fastest = &point;
    }
    return fastest;
}

} // namespace

std::vector<std::string> end_cup_lines(const damper::Cartridge& cartridge) {
    std::vector<std::string> lines;
    if (cartridge.end_of_stroke) lines.push_back(line(*cartridge.end_of_stroke, Stroke::compression));
    if (cartridge.top_out) lines.push_back(line(*cartridge.top_out, Stroke::rebound));
    return lines;
}

std::vector<std::string> end_cup_warnings(const damper::Model& model, const damper::Curve& curve) {
    constexpr double turbulent = 2000.0; // flow between plates, by twice the gap (from memory)
    std::vector<std::string> warnings;
    for (const Stroke stroke : {Stroke::compression, Stroke::rebound}) {
        const damper::EndCupLaw* cup = model.end_cup(stroke);
        const damper::SteadyPoint* point = fastest_in(curve, stroke);
        if (cup == nullptr || point == nullptr || point->end_pressure.value_or(0.0) <= 0.0) continue;
        const double speed = std::abs(point->speed);
        const double depth = model.end_depth(stroke, curve.travel);
        if (const double reynolds = cup->reynolds(depth, *point->end_pressure); reynolds > turbulent)
            warnings.push_back(
                fmt::format("the gap round the plug of {} is turbulent at {} m/s (Re {}): it will "
                            "push harder than computed",
                            key(stroke), metres_a_second(speed), fixed(reynolds, 0)));
    }
    return warnings;
}

} // namespace valve::report
