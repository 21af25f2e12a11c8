#include <valve/core/error.hpp>
#include <valve/core/text.hpp>
#include <valve/damper/check.hpp>
#include <valve/damper/sag.hpp>
#include <valve/study/evaluation.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

namespace valve::study {

namespace {

using motion::RideMetrics;
using motion::UnitInRide;
using Value = std::optional<double>;

// In the order of Measure.
constexpr std::array<Scale, 10> scales{{
    {"_m_s", "m/s", 1.0, 2, 0.01, 0.1, 0.0},
    {"_Pa", "bar", 1e5, 2, 0.01e5, 0.1e5, 0.0},
    {"_N", "N", 1.0, 0, 1.0, 10.0, 0.05},
    {"_m", "mm", 1e-3, 1, 0.5e-3, 2e-3, 0.0},
    {"_J", "J", 1.0, 0, 1.0, 5.0, 0.05},
    {"_m", "mm", 1e-3, 2, 0.05e-3, 0.5e-3, 0.0},
    {"_m3", "ml", 1e-6, 2, 0.02e-6, 0.1e-6, 0.0},
    {"_m_s2", "m/s²", 1.0, 2, 0.02, 0.05, 0.05},
    {"", "%", 0.01, 1, 0.002, 0.02, 0.0},
    {"_K", "K", 1.0, 2, 0.05, 2.0, 0.0},
}};

/// The onset found, or none where the search came to its end.
Value onset(const Value& speed, const std::optional<std::string>& error) {
    // Where the search broke off, an onset may lie beyond.
    if (!speed && error) throw SolveError(*error);
    return speed;
}

Value void_onset(const Value& speed, const std::optional<damper::VoidOnset::End>& end) {
    if (end) throw SolveError(end->why);
    return speed;
}

Value onset(const damper::Onset& found) {
    if (found.kind == damper::Onset::Kind::ended) throw SolveError(found.why);
    return found.from();
}

Value ports_lead(Evaluation& of, damper::Place place) {
    for (const damper::PortControl& port : of.ports())
        if (port.place == place) return onset(port.from, port.error);
    return std::nullopt;
}

const damper::SteadyPoint& point(Evaluation& of, const FigureRequest& request) {
    return of.point(*request.speed, request.travel_share);
}

const damper::SteadyPoint& unhurried(Evaluation& of) {
    constexpr double speed = 1.0; // any will do: neither figure depends on it [m/s]
    return of.point(speed);
}

Value dead_travel(const Value& found) {
    if (!found)
        throw SolveError("the damping does not come up to 90 % of its steady value before the peak speed");
    return found;
}

Value sag(Evaluation& of, bool with_rider) {
    return damper::sag(of.support(), of.load(), with_rider).rest.travel;
}

const RideFigures& ride(Evaluation& of, const FigureRequest& request) {
    return of.ride(request.event);
}

template <auto Member>
Value metric(Evaluation& of, const FigureRequest& request) {
    return ride(of, request).ride.metrics.*Member;
}

/// What counts from when the wheel leaves level ground: none where it never does.
template <auto Member>
Value since_met(Evaluation& of, const FigureRequest& request) {
    return ride(of, request).ride.begin ? metric<Member>(of, request) : std::nullopt;
}

constexpr std::string_view nothing_met = "nothing met";

/// Of the unit where it is greatest.
template <auto Member>
Value greatest(Evaluation& of, const FigureRequest& request) {
    double value = 0.0;
    for (const motion::UnitInRide& unit : ride(of, request).ride.metrics.units)
        value = std::max(value, unit.*Member);
    return value;
}

Value packing(Evaluation& of, const FigureRequest& request) {
    const Value found = ride(of, request).packing();
    if (!found) throw SolveError("the event has no row of bumps, or the run ends before the second");
    return found;
}

Value small_bumps(Evaluation& of, const FigureRequest& request) {
    const Value& found = ride(of, request).ride.metrics.small_bumps;
    if (!found)
        throw SolveError(motion::has_small_bumps(request.event->event.kind)
                             ? "the ground is nowhere within 10 mm of level"
                             : "a landing and a square edge have no small bumps");
    return found;
}

constexpr FigureKind of_ride(Quantity quantity, std::string_view key, std::string_view words, Measure measure,
                             double noticeable,
                             std::optional<double> (*value)(Evaluation& of, const FigureRequest& request),
                             std::string_view if_none = {}) {
    FigureKind kind{quantity, key, words, measure};
    kind.noticeable = noticeable;
    kind.value = value;
    kind.event = Asked::always;
    kind.if_none = if_none;
    return kind;
}

// A row a quantity, in its order. Little is ridden near full extension, so that a step there has to be
// larger, and so has one of the travel under large forces; of friction a rider notices less than of other
// forces.
constexpr std::array<FigureKind, 55> kinds{{
    {Quantity::void_onset_rebound, "void_onset_rebound_m_s", "voids on rebound", Measure::speed, Asked::never,
     Asked::never, Asked::never, Way::rebound, true, 0.0,
     [](Evaluation& of, const FigureRequest&) { return void_onset(of.voids().rebound, of.voids().rebound_end); }},
    {Quantity::void_onset_compression, "void_onset_compression_m_s", "voids on compression", Measure::speed,
     Asked::never, Asked::never, Asked::never, Way::compression, true, 0.0,
     [](Evaluation& of, const FigureRequest&) { return void_onset(of.voids().compression, of.voids().compression_end); }},
    {Quantity::void_onset_near_extension_rebound, "void_onset_near_extension_rebound_m_s",
     "voids on rebound near full extension", Measure::speed, Asked::never, Asked::never, Asked::never, Way::rebound, true,
     0.2,
     [](Evaluation& of, const FigureRequest&) {
         return void_onset(of.voids_near_extension().rebound, of.voids_near_extension().rebound_end);
     }},
    {Quantity::void_onset_near_extension_compression, "void_onset_near_extension_compression_m_s",
     "voids on compression near full extension", Measure::speed, Asked::never, Asked::never, Asked::never, Way::compression,
     true, 0.2,
     [](Evaluation& of, const FigureRequest&) {
         return void_onset(of.voids_near_extension().compression, of.voids_near_extension().compression_end);
     }},
    {Quantity::dead_travel_compression, "dead_travel_compression_m", "dead travel into compression",
     Measure::short_length, Asked::never, Asked::never, Asked::always, Way::compression, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         return dead_travel(of.cycle(*request.frequency).dead_travel_compression);
     }},
    {Quantity::dead_travel_rebound, "dead_travel_rebound_m", "dead travel into rebound",
     Measure::short_length, Asked::never, Asked::never, Asked::always, Way::rebound, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         return dead_travel(of.cycle(*request.frequency).dead_travel_rebound);
     }},
    {Quantity::largest_void, "largest_void_m3", "largest void", Measure::volume, Asked::never, Asked::never,
     Asked::always, Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         const CycleFigures& cycle = of.cycle(*request.frequency);
         return Value(std::max(cycle.largest_void_C, cycle.largest_void_R));
     }},
    {Quantity::refill_deficit, "refill_deficit_Pa", "refill deficit", Measure::pressure, Asked::always,
     Asked::may_be, Asked::never, Way::rebound, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) { return point(of, request).refill_deficit; }},
    {Quantity::balance_negative_from, "balance_negative_from_m_s", "balance margin below 0", Measure::speed,
     Asked::never, Asked::never, Asked::never, Way::compression, true, 0.0,
     [](Evaluation& of, const FigureRequest&) { return onset(of.search().margin_below_zero()); }},
    {Quantity::balance_margin, "balance_margin_Pa", "balance margin", Measure::pressure, Asked::always,
     Asked::may_be, Asked::never, Way::compression, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) { return point(of, request).balance_margin; }},
    {Quantity::headroom_R, "headroom_R_Pa", "headroom of R", Measure::pressure, Asked::always, Asked::may_be, Asked::never,
     Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) { return Value(point(of, request).headroom_R); }},
    {Quantity::damping_force, "damping_force_N", "damping force", Measure::force, Asked::always,
     Asked::may_be, Asked::never, Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) { return Value(point(of, request).damping_force); }},
    {Quantity::peak_force_compression, "peak_force_compression_N", "peak force in a cycle, compression",
     Measure::force, Asked::never, Asked::never, Asked::always, Way::compression, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         return Value(of.cycle(*request.frequency).peak_force_compression);
     }},
    {Quantity::peak_force_rebound, "peak_force_rebound_N", "peak force in a cycle, rebound", Measure::force,
     Asked::never, Asked::never, Asked::always, Way::rebound, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         return Value(of.cycle(*request.frequency).peak_force_rebound);
     }},
    {Quantity::end_force, "end_force_N", "force of the cup", Measure::force, Asked::always, Asked::always, Asked::never,
     Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         return Value(point(of, request).end_force.value_or(0.0));
     }},
    {Quantity::static_force, "static_force_N", "static force", Measure::force, Asked::never, Asked::never, Asked::never,
     Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest&) { return Value(unhurried(of).static_force); }},
    {Quantity::reservoir_friction, "reservoir_friction_Pa", "reservoir friction", Measure::pressure,
     Asked::never, Asked::never, Asked::never, Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest&) { return Value(unhurried(of).reservoir_friction); }},
    {Quantity::felt_reservoir_friction, "felt_reservoir_friction_N", "reservoir friction felt on the rod",
     Measure::force, Asked::never, Asked::never, Asked::never, Way::both, false, 2.0,
     [](Evaluation& of, const FigureRequest&) {
         return Value(of.model().rod_area() * of.model().reservoir().friction_pressure());
     }},
    {Quantity::ports_lead_base_compression, "ports_lead_base_compression_m_s",
     "choked ports of base.compression", Measure::speed, Asked::never, Asked::never, Asked::never, Way::compression, true,
     0.0,
     [](Evaluation& of, const FigureRequest&) { return ports_lead(of, damper::Place::base_compression); }},
    {Quantity::ports_lead_piston_compression, "ports_lead_piston_compression_m_s",
     "choked ports of piston.compression", Measure::speed, Asked::never, Asked::never, Asked::never, Way::compression, true,
     0.0,
     [](Evaluation& of, const FigureRequest&) { return ports_lead(of, damper::Place::piston_compression); }},
    {Quantity::ports_lead_piston_rebound, "ports_lead_piston_rebound_m_s", "choked ports of piston.rebound",
     Measure::speed, Asked::never, Asked::never, Asked::never, Way::rebound, true, 0.0,
     [](Evaluation& of, const FigureRequest&) { return ports_lead(of, damper::Place::piston_rebound); }},
    {Quantity::shims_set_from, "shims_set_from_m_s", "shims that keep a set", Measure::speed, Asked::never,
     Asked::never, Asked::never, Way::both, true, 0.0,
     [](Evaluation& of, const FigureRequest&) { return of.passed_from(StripLimit::set); }},
    {Quantity::shims_life_from, "shims_life_from_m_s", "shims bent beyond endless life", Measure::speed,
     Asked::never, Asked::never, Asked::never, Way::both, true, 0.0,
     [](Evaluation& of, const FigureRequest&) { return of.passed_from(StripLimit::fatigue); }},
    {Quantity::rider_sag, "rider_sag_m", "sag with the rider", Measure::length, Asked::never, Asked::never, Asked::never,
     Way::both, false, 0.0, [](Evaluation& of, const FigureRequest&) { return sag(of, true); }},
    {Quantity::free_sag, "free_sag_m", "sag without the rider", Measure::length, Asked::never, Asked::never, Asked::never,
     Way::both, false, 0.0, [](Evaluation& of, const FigureRequest&) { return sag(of, false); }},
    {Quantity::friction, "friction_N", "sliding friction", Measure::force, Asked::never, Asked::never, Asked::never,
     Way::both, false, 5.0,
     [](Evaluation& of, const FigureRequest&) { return Value(of.support().friction()); }},
    {Quantity::breakaway, "breakaway_N", "friction before it moves", Measure::force, Asked::never,
     Asked::never, Asked::never, Way::both, false, 5.0,
     [](Evaluation& of, const FigureRequest&) { return Value(of.support().breakaway()); }},
    {Quantity::support_force, "support_force_N", "support of springs and gas", Measure::force, Asked::never,
     Asked::always, Asked::never, Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest& request) {
         return Value(of.support().at(*request.travel_share * of.support().travel()).force);
     }},
    {Quantity::hit_travel, "hit_travel_m", "travel that a hit uses", Measure::length, Asked::never,
     Asked::never, Asked::never, Way::both, false, 5e-3,
     [](Evaluation& of, const FigureRequest&) {
         return Value(damper::travel_used(of.support(), of.hit(), of.support().friction()).travel);
     }},
    {Quantity::heavy_load_travel, "heavy_load_travel_m", "travel under a heavy load", Measure::length,
     Asked::never, Asked::never, Asked::never, Way::both, false, 5e-3,
     [](Evaluation& of, const FigureRequest&) {
         return Value(damper::position_under(of.support(), of.heavy_load()).travel);
     }},
    {Quantity::support_energy, "support_energy_J", "energy to full travel", Measure::energy, Asked::never,
     Asked::never, Asked::never, Way::both, false, 0.0,
     [](Evaluation& of, const FigureRequest&) {
         return Value(of.support().at(of.support().travel()).energy);
     }},
    of_ride(Quantity::peak_travel, "peak_travel_m", "largest travel", Measure::length, 5e-3,
            metric<&RideMetrics::peak_travel>),
    of_ride(Quantity::travel_left, "travel_left_m", "travel left", Measure::length, 5e-3,
            [](Evaluation& of, const FigureRequest& request) {
                const RideMetrics& metrics = ride(of, request).ride.metrics;
                return Value(metrics.full_travel - metrics.peak_travel);
            }),
    of_ride(Quantity::residual_travel, "residual_travel_m", "travel at the end", Measure::length, 5e-3,
            metric<&RideMetrics::residual_travel>),
    of_ride(Quantity::mean_travel, "mean_travel_m", "mean travel", Measure::length, 5e-3,
            since_met<&RideMetrics::mean_travel>, nothing_met),
    of_ride(Quantity::travel_drift, "travel_drift_m", "drift of the mean travel", Measure::length, 5e-3,
            since_met<&RideMetrics::travel_drift>, nothing_met),
    of_ride(Quantity::start_travel, "start_travel_m", "travel at the start", Measure::length, 0.0,
            metric<&RideMetrics::start_travel>),
    of_ride(Quantity::packing, "packing_m", "deeper at later bumps", Measure::length, 5e-3, packing),
    of_ride(Quantity::closing_speed, "closing_speed_m_s", "speed as the stop is met", Measure::speed, 0.0,
            metric<&RideMetrics::closing_speed>, "not met"),
    of_ride(Quantity::metal_speed, "metal_speed_m_s", "speed as metal is met", Measure::speed, 0.0,
            metric<&RideMetrics::metal_speed>, "not met"),
    of_ride(Quantity::extension_speed, "extension_speed_m_s", "speed at full extension", Measure::speed, 0.0,
            metric<&RideMetrics::extension_speed>, "not met"),
    of_ride(Quantity::peak_speed_compression, "peak_speed_compression_m_s", "fastest in", Measure::speed, 0.0,
            metric<&RideMetrics::peak_speed_compression>),
    of_ride(Quantity::peak_speed_rebound, "peak_speed_rebound_m_s", "fastest out", Measure::speed, 0.0,
            metric<&RideMetrics::peak_speed_rebound>),
    of_ride(Quantity::ride_dead_travel_compression, "ride_dead_travel_compression_m",
            "dead travel into compression", Measure::short_length, 2e-3,
            [](Evaluation& of, const FigureRequest& request) {
                return ride(of, request).compression.dead_travel;
            }, "none"),
    of_ride(Quantity::ride_dead_travel_rebound, "ride_dead_travel_rebound_m", "dead travel into rebound",
            Measure::short_length, 2e-3,
            [](Evaluation& of, const FigureRequest& request) {
                return ride(of, request).rebound.dead_travel;
            }, "none"),
    of_ride(Quantity::rms_acceleration, "rms_acceleration_m_s2", "harshness, r.m.s.", Measure::acceleration,
            0.0, since_met<&RideMetrics::rms_acceleration>, nothing_met),
    of_ride(Quantity::peak_acceleration, "peak_acceleration_m_s2", "harshness, peak", Measure::acceleration,
            0.0, since_met<&RideMetrics::peak_acceleration>, nothing_met),
    of_ride(Quantity::small_bump_acceleration, "small_bump_acceleration_m_s2", "small bumps, r.m.s.",
            Measure::acceleration, 0.0, small_bumps),
    of_ride(Quantity::stuck_share, "stuck_share", "time that it sticks", Measure::share, 0.1,
            since_met<&RideMetrics::stuck_share>, nothing_met),
    of_ride(Quantity::wheel_load_variation, "wheel_load_variation", "variation of the wheel's load",
            Measure::share, 0.0, since_met<&RideMetrics::wheel_load_variation>, nothing_met),
    of_ride(Quantity::low_load_share, "low_load_share", "time below a fifth of the load", Measure::share, 0.0,
            since_met<&RideMetrics::low_load_share>, nothing_met),
    of_ride(Quantity::off_ground_share, "off_ground_share", "time off the ground", Measure::share, 0.0,
            since_met<&RideMetrics::off_ground_share>, nothing_met),
    of_ride(Quantity::largest_void_C, "largest_void_C_m3", "largest void in C", Measure::volume, 0.0,
            greatest<&UnitInRide::largest_void_C>),
    of_ride(Quantity::largest_void_R, "largest_void_R_m3", "largest void in R", Measure::volume, 0.0,
            greatest<&UnitInRide::largest_void_R>),
    of_ride(Quantity::temperature_rise, "temperature_rise_K", "the oil warms by", Measure::warming, 0.0,
            [](Evaluation& of, const FigureRequest& request) {
                return Value(ride(of, request).temperature_rise);
            }),
}};

constexpr bool stand_in_order() {
    for (std::size_t i = 0; i < kinds.size(); ++i)
        if (kinds[i].quantity != static_cast<Quantity>(i)) return false;
    return true;
}
static_assert(stand_in_order());

} // namespace

const Scale& scale(Measure measure) {
    return scales.at(static_cast<std::size_t>(measure));
}

std::string_view FigureKind::name() const {
    return key.substr(0, key.size() - scale(measure).suffix.size());
}

std::span<const FigureKind> figure_kinds() {
    return kinds;
}

const FigureKind& kind_of(Quantity quantity) {
    return kinds.at(static_cast<std::size_t>(quantity));
}

const FigureKind& kind_named(std::string_view name) {
    std::vector<std::string> names;
    for (const FigureKind& kind : kinds) {
        if (kind.name() == name || kind.key == name) return kind;
        names.emplace_back(kind.name());
    }
    const std::string hint = did_you_mean(name, names);
    throw InputError(fmt::format("{} is no figure{}", in_quotes(name),
                                 hint.empty() ? "; figures are those of compare, without their unit" : hint));
}

void check(const FigureRequest& request) {
    const FigureKind& kind = kind_of(request.quantity);
    const auto refuse = [&](std::string_view why) {
        throw InputError(fmt::format("{}: {}", kind.name(), why));
    };
    if (kind.speed == Asked::always && !request.speed) refuse("at which rod speed? It has one, e.g. 1 m/s");
    if (kind.speed == Asked::never && request.speed) refuse("belongs to no rod speed");
    if (request.speed && !(std::abs(*request.speed) <= damper::fastest_rod))
        refuse(fmt::format("{:g} m/s is out of range; a rod speed is no more than {:g} m/s", *request.speed,
                           damper::fastest_rod));
    if (kind.travel_share == Asked::always && !request.travel_share)
        refuse("at which part of the travel? It has one, e.g. 90 %");
    if (kind.travel_share == Asked::never && request.travel_share) refuse("belongs to no part of the travel");
    if (kind.frequency == Asked::always && !request.frequency)
        refuse("at which frequency? It has one, e.g. 4 Hz");
    if (kind.frequency == Asked::never && request.frequency) refuse("belongs to no frequency");
    if (kind.event == Asked::always && !request.event)
        refuse("over which event? It belongs to a ride over one, e.g. landing.yaml");
    if (kind.event == Asked::never && request.event) refuse("belongs to no event");
    if (request.frequency && !(*request.frequency > 0.0 && *request.frequency <= quickest_cycle))
        refuse("a frequency lies above 0 and up to 500 Hz");
    if (request.speed && kind.way == Way::compression && !(*request.speed > 0.0))
        refuse("belongs to compression: a rod speed above 0");
    if (request.speed && kind.way == Way::rebound && !(*request.speed < 0.0))
        refuse("belongs to rebound: a rod speed below 0");
    if (request.travel_share && !(*request.travel_share >= 0.0 && *request.travel_share <= 1.0))
        refuse("a part of the travel lies between 0 and 100 %");
}

double noticeable_step(Quantity quantity, double from) {
    const FigureKind& kind = kind_of(quantity);
    if (kind.noticeable > 0.0) return kind.noticeable;
    const Scale& of = scale(kind.measure);
    return std::max(of.noticeable, of.share * std::abs(from));
}

double number(const Figure& figure, double top_speed) {
    return figure.value.value_or(kind_of(figure.quantity).if_none.empty() ? top_speed : 0.0);
}

} // namespace valve::study
