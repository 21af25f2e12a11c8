#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/steady.hpp>
#include <valve/study/ride.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::study {

namespace {

/// What the rides of one side share.
struct Prepared {
    std::vector<damper::SetUp> legs; // one, or both where they differ
    std::vector<damper::Model> models;
    std::vector<damper::SupportLaw> supports;
    std::vector<motion::MovingValves> valves;
    std::vector<motion::RideUnit> units;
    ValvesInTime how;
};

Prepared prepare(const RideSide& side, const RideQuestion& question, damper::LiftCache& cache) {
    if (!side.setup.support || !side.setup.support->load)
        throw InputError(
            "support.load: missing: a ride needs the masses on the wheel, and rake, motion ratio or linkage");
    Prepared result;
    result.legs.push_back(side.setup);
    if (side.other_leg) {
        if (!side.other_leg->support) throw InputError("support: missing in the other leg");
        if (side.setup.support->legs != 2) throw InputError("support.legs: a unit of one leg has no other");
        const double travel = side.setup.cartridge.travel;
        const double other = side.other_leg->cartridge.travel;
        constexpr double alike = 1e-3; // [m]
        if (std::abs(travel - other) > alike)
            throw InputError(fmt::format("damper.travel: two legs move together, and theirs are {:.4g} and "
                                         "{:.4g} mm",
                                         travel * 1e3, other * 1e3));
        result.legs.push_back(*side.other_leg);
        for (damper::SetUp& leg : result.legs)
            leg.support->legs = 1;
    }
    result.valves.resize(result.legs.size());
    for (const damper::SetUp& leg : result.legs) {
        result.models.push_back(cache.model(leg));
        result.supports.emplace_back(leg);
    }
    result.how.bends = std::any_of(result.models.begin(), result.models.end(),
                                   [](const damper::Model& model) { return model.bends(); });
    if (question.valves != motion::Valves::quasi_static) {
        try {
            for (std::size_t i = 0; i < result.models.size(); ++i)
                result.valves[i] = motion::moving_valves(result.models[i], cache);
            result.how.kind = motion::Valves::moving;
        } catch (const SolveError& error) {
            if (question.valves) throw cannot_move(error);
            result.valves.assign(result.legs.size(), {});
            result.how.because = error.what();
        }
    }
    for (std::size_t i = 0; i < result.models.size(); ++i)
        result.units.push_back({result.models[i], result.valves[i], result.supports[i]});
    return result;
}

/// What the oil of a unit takes up as heat [J].
double heat(const motion::Energies& energies) {
    return motion::lost_across(energies) + energies.cups + energies.friction;
}

/// Whether the force of a unit is far above the steady one at that speed and travel, at its largest either
/// way.
bool is_far_above_steady(const damper::Model& model, const motion::UnitInRide& unit) {
    const auto is_far = [&](const std::optional<motion::Moment>& at) {
        if (!at) return false;
        try {
            const damper::SteadyPoint steady =
                damper::steady_point(model, at->speed, at->travel, motion::rod_into(model.setup()));
            return study::is_far_above_steady(std::abs(at->force), steady.force);
        } catch (const SolveError&) {
            return false;
        }
    };
    return is_far(unit.hardest_compression) || is_far(unit.hardest_rebound);
}

void add_larger(ReversalsInto& of_ride, const ReversalsInto& of_unit) {
    const int not_back = std::max(of_ride.not_back, of_unit.not_back);
    if (of_unit.dead_travel && of_unit.dead_travel >= of_ride.dead_travel) of_ride = of_unit;
    of_ride.count = of_unit.count; // the units move together
    of_ride.not_back = not_back;
}

/// Takes the moments that it is read from with it: nobody else needs them.
void add_reversals(RideFigures& figures, const damper::Model& model, motion::UnitInRide& unit) {
    const damper::RodInto rod_into = motion::rod_into(model.setup());
    const std::vector<motion::RodMoment> rod = std::exchange(unit.rod, {});
    add_larger(figures.compression, reversals_into(model, rod_into, rod, 1.0));
    add_larger(figures.rebound, reversals_into(model, rod_into, rod, -1.0));
}

std::vector<SwingingValve> swinging(const std::vector<damper::Model>& models,
                                    const std::vector<motion::UnitInRide>& units) {
    std::vector<SwingingValve> list;
    for (std::size_t i = 0; i < units.size(); ++i) {
        std::vector<SwingingValve> own;
        for (const damper::Place place : units[i].valves) {
            const int swings = units[i].swings.at(static_cast<std::size_t>(place));
            if (swings >= ringing_swings) own.push_back({i, place, swings});
        }
        if (!own.empty() && is_far_above_steady(models[i], units[i]))
            list.insert(list.end(), own.begin(), own.end());
    }
    return list;
}

} // namespace

std::optional<double> RideFigures::packing() const {
    const std::vector<double>& travels = ride.metrics.start_travels;
    if (travels.size() < 2) return std::nullopt;
    return *std::max_element(travels.begin() + 1, travels.end()) - travels.front();
}

std::vector<RideFigures> ride_study(const RideQuestion& question, damper::LiftCache& cache) {
    std::vector<Prepared> sides;
    for (const RideSide& side : question.sides)
        sides.push_back(prepare(side, question, cache));
    const std::size_t events = question.events.size();
    std::vector<RideFigures> rides(sides.size() * events);
    for_each_index(rides.size(), [&](std::size_t i) {
        RideFigures& figures = rides[i];
        figures.side = i / events;
        figures.event = i % events;
        const Prepared& side = sides[figures.side];
        figures.valves = side.how;
        figures.theory = side.models.front().theory();
        figures.accuracy = question.accuracy;
        motion::RideOptions options(question.accuracy);
        options.stop = question.stop;
        if (question.progress) options.progress = [&, i](double time) { question.progress(i, time); };
        try {
            figures.ride = motion::run_ride(side.units, question.sides[figures.side].vehicle,
                                            *question.sides[figures.side].setup.support->load,
                                            question.events[figures.event], options);
            for (std::size_t k = 0; k < side.legs.size(); ++k)
                for (const damper::Place place : damper::all_places)
                    if (const std::optional<flow::Valve>& valve = side.legs[k].valves[place]) {
                        motion::UnitInRide& unit = figures.ride.metrics.units[k];
                        double& lift = unit.largest_lift.at(static_cast<std::size_t>(place));
                        lift = up_to_stop(*valve, lift);
                    }
            for (std::size_t k = 0; k < side.legs.size(); ++k)
                for (const damper::Place place :
                     left_round(side.legs[k], figures.ride.metrics.units[k].largest_lift, cache))
                    if (std::find(figures.valves.left_round.begin(), figures.valves.left_round.end(),
                                  place) == figures.valves.left_round.end())
                        figures.valves.left_round.push_back(place);
            for (std::size_t k = 0; k < side.legs.size(); ++k)
                add_reversals(figures, side.models[k], figures.ride.metrics.units[k]);
            figures.swinging = swinging(side.models, figures.ride.metrics.units);
            const std::vector<motion::Energies>& units = figures.ride.energy.units;
            for (std::size_t k = 0; k < units.size(); ++k)
                figures.temperature_rise =
                    std::max(figures.temperature_rise,
                             heat(units[k]) / (figures.ride.metrics.units[k].oil_mass * oil_heat_capacity));
        } catch (const SolveError& error) {
            figures.error = error.what();
        }
    });
    return rides;
}

} // namespace valve::study
