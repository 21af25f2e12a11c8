#include <valve/report/assumptions.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/page_words.hpp>
#include <valve/report/rider.hpp>
#include <valve/report/rider_rides.hpp>
#include <valve/report/text.hpp>
#include <valve/study/lead.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::report {

namespace {

const damper::SteadyPoint* solved_at(const damper::Curve& curve, double speed) {
    const auto found =
        std::find_if(curve.points.begin(), curve.points.end(), [speed](const damper::SteadyPoint& point) {
            return !point.error && std::abs(point.speed - speed) < 1e-9;
        });
    return found == curve.points.end() ? nullptr : &*found;
}

} // namespace

std::vector<std::string> answer(const study::CurveResult& result) {
    const damper::Curve& curve = result.curve;
    std::vector<std::string> said{
        fmt::format("At {} mm travel: {}", trim_mm(curve.travel),
                    sentence(curve.void_onset, result.options.top_speed)),
        fmt::format("Near full extension ({} % travel): {}", percent(damper::near_extension),
                    sentence(curve.void_onset_near_extension, result.options.top_speed))};
    constexpr double told_speed = 1.0; // [m/s]
    const damper::SteadyPoint* out = solved_at(curve, -told_speed);
    const damper::SteadyPoint* in = solved_at(curve, told_speed);
    if (out != nullptr && out->refill_deficit)
        said.push_back(
            fmt::format("At {} m/s on rebound the refill deficit is {} bar, the damping force {} N.",
                        metres_a_second(told_speed), bar(*out->refill_deficit), newton(out->damping_force)));
    if (in != nullptr && !study::margin_decides(*result.reading.unit))
        said.push_back(
            fmt::format("At {} m/s on compression the headroom of R is {} bar, the damping force {} N.",
                        metres_a_second(told_speed), bar(in->headroom_R), newton(in->damping_force)));
    else if (in != nullptr && in->balance_margin)
        said.push_back(
            fmt::format("At {} m/s on compression the balance margin is {} bar, the damping force {} N.",
                        metres_a_second(told_speed), bar(*in->balance_margin), newton(in->damping_force)));
    if (result.measured) said.push_back(sentence(*result.measured));
    for (const std::string& one : no_solution(curve))
        said.push_back(one);
    return said;
}

std::vector<std::string> no_solution(const damper::Curve& curve) {
    std::vector<std::string> said;
    for (const double way : {1.0, -1.0}) {
        std::vector<const damper::SteadyPoint*> points;
        for (const damper::SteadyPoint& point : curve.points)
            if (point.speed * way > 0.0) points.push_back(&point);
        std::sort(points.begin(), points.end(),
                  [](const auto* a, const auto* b) { return std::abs(a->speed) < std::abs(b->speed); });
        const auto unsolved = [](const damper::SteadyPoint* point) { return point->error.has_value(); };
        const auto first = std::find_if(points.begin(), points.end(), unsolved);
        if (first == points.end()) continue;
        const auto count = std::count_if(first, points.end(), unsolved);
        const bool all_from_there = count == points.end() - first;
        const std::string where =
            all_from_there ? fmt::format("from {} m/s on", metres_a_second(std::abs((*first)->speed)))
                           : fmt::format("at {} of {} speeds", count, points.size());
        said.push_back(fmt::format("No solution on {} {}: {}.", way > 0.0 ? "compression" : "rebound", where,
                                   *(*first)->error));
    }
    return said;
}

std::vector<std::string> answer(const study::Comparison& comparison) {
    std::vector<std::string> said;
    const double top_speed = comparison.setups.front().headline.top_speed;
    for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
        const study::Variant& variant = comparison.variants[i];
        said.push_back(
            fmt::format("{}, {}, against A:", setup_letter(i + 1), comparison.setups[i + 1].reading.title));
        if (variant.differences.empty()) said.emplace_back("Same values as A.");
        for (const std::string& one : sentences(variant, top_speed))
            said.push_back(one);
        for (const std::string& one : not_asked_sentences(variant))
            said.push_back(one);
        if (const std::string same = unchanged_line(variant, top_speed); !same.empty()) said.push_back(same);
    }
    return said;
}

std::vector<std::string> cautions() {
    return {"Dampers hold gas under pressure and springs that store energy: release both as the maker's "
            "manual says before you open the unit.",
            "Leave gas charging to licensed practice, and mind local rules.",
            "Thread-locker softened by heat gives off fumes, and hot oil burns: ventilate, wear gloves and "
            "eye protection.",
            "Before the ride: torques as in the manual, full travel by hand without spring or gas, no leak, "
            "brake hose and cables free at full lock and full travel, clickers counted from closed.",
            "Ride the first metres slowly and away from traffic, and change one thing at a time: what is "
            "computed here is a prediction, not an approval."};
}

std::vector<std::string> method(const stack::FollowOptions& options) {
    const bool bends =
        options.theory == stack::Theory::large_deflection && options.shape == stack::Shape::as_it_bends;
    return {
        fmt::format("Each shim is an annular plate of finite elements ({}); neighbours touch without "
                    "friction and may part, and the lift is followed along the pressure so that no change "
                    "of contact is missed.",
                    words(options.theory, bends)),
        "Ports and the gap under the face shim are orifices in series whose discharge coefficient joins "
        "laminar and turbulent flow (McCloy and Martin, The Control of Fluid Power); bleeds lie beside "
        "them. Viscosity follows ASTM D341.",
        "Chambers are in balance at steady rod speed: what the rod displaces passes the base valve, what "
        "the piston sweeps passes its own. A chamber at the cavitation pressure grows a void.",
        "Refill deficit: reservoir pressure less the pressure behind the piston, on rebound. Balance "
        "margin: loss in the base valve less loss in the piston, on compression. Static force is in "
        "force, not in damping force.",
        rules_for_the_rider(),
        ride_rules_for_the_rider(),
        fmt::format("In time, over cycles and rides, chambers and valves move, {}.",
                    bends ? "the valves through the same shapes" : "and stacks are taken for round"),
        fmt::format(
            "Not in the other numbers: motion in time, how oil warms and parts wear on the way, friction "
            "between shims, {}the give of piston and tube. Drawn shapes are computed, {}, except where a "
            "drawing says that it exaggerates.",
            bends ? "" : "waves round the ring, ", bends ? "as stacks bend" : "of the round stack")};
}

} // namespace valve::report
