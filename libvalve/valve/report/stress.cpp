#include <valve/report/stress.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <optional>

namespace valve::report {

namespace {

using damper::Place;
using damper::Stroke;

/// Where a valve works.
struct Seat {
    Place place;
    Stroke stroke;
    bool at_piston;
};
constexpr std::array<Seat, 4> seats{{{Place::base_compression, Stroke::compression, false},
                                     {Place::base_refill, Stroke::rebound, false},
                                     {Place::piston_compression, Stroke::compression, true},
                                     {Place::piston_rebound, Stroke::rebound, true}}};

/// Lowest rod speed, as a magnitude, at which the pressure on the face shim passes `limit` [Pa].
std::optional<double> speed_beyond(double limit, const Seat& seat, const damper::Model& model,
                                   const damper::Curve& curve) {
    const flow::Passage* passage = seat.at_piston ? &model.piston(seat.stroke) : model.base(seat.stroke);
    if (passage == nullptr) return std::nullopt;
    std::optional<double> lowest;
    for (const damper::SteadyPoint& point : curve.points) {
        const bool this_way = (point.speed > 0.0) == (seat.stroke == Stroke::compression);
        const double dp = seat.at_piston ? point.dp_piston : point.dp_base;
        if (point.error || point.speed == 0.0 || !this_way || dp <= 0.0) continue;
        if (passage->at_pressure(dp).p_eff <= limit) continue;
        if (!lowest || std::abs(point.speed) < *lowest) lowest = std::abs(point.speed);
    }
    return lowest;
}

} // namespace

std::vector<std::string> stress_warnings(const damper::Model& model, const damper::Curve& curve,
                                         damper::LiftCache& lifts) {
    std::vector<std::string> warnings;
    for (const Seat& seat : seats) {
        const std::optional<flow::Valve>& valve = model.setup().valves[seat.place];
        if (!valve) continue;
        const stack::LiftCurve& lift = lifts.curve(valve->stack);
        const auto warn = [&](const std::optional<stack::StressLimit>& limit, std::string_view what) {
            if (!limit) return;
            const std::optional<double> speed = speed_beyond(limit->pressure, seat, model, curve);
            if (!speed) return;
            warnings.push_back(
                fmt::format("At {} m/s and faster, shim {} of {} {} (at Ø {}, from {} bar on the face shim)",
                            fixed(*speed, 2), limit->peak.shim, damper::name(seat.place), what,
                            trim_mm(2.0 * limit->peak.radius), bar(limit->pressure)));
        };
        warn(lift.set, "keeps a set");
        warn(lift.fatigue, "is bent beyond endless life");
    }
    return warnings;
}

} // namespace valve::report
