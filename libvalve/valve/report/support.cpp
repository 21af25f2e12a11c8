#include <valve/damper/geometry.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/support.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

namespace valve::report {

namespace {

using damper::SupportLaw;
using damper::SupportPoint;

/// Round steps over the whole travel, its end included.
std::vector<double> even_travels(double whole) {
    constexpr std::array<double, 8> steps{1e-3, 2e-3, 5e-3, 10e-3, 20e-3, 50e-3, 100e-3, 200e-3};
    constexpr double most_rows = 20.0;
    double step = steps.back();
    for (auto candidate = steps.rbegin(); candidate != steps.rend(); ++candidate)
        if (whole / *candidate <= most_rows) step = *candidate;
    std::vector<double> travels;
    const int rows = static_cast<int>(std::ceil(whole / step - 1e-9));
    for (int i = 0; i < rows; ++i)
        travels.push_back(i * step);
    travels.push_back(whole);
    return travels;
}

Json json(const damper::Sag& sag, const damper::Load& load) {
    constexpr std::array<const char*, 3> ends{"no", "extended", "compressed"};
    Json object;
    object["force_N"] = sag.force;
    object["travel_m"] = sag.rest.travel;
    object["least_m"] = sag.least.travel;
    object["most_m"] = sag.most.travel;
    object["wheel_travel_m"] = sag.rest.travel / damper::travel_ratio(load);
    object["at_end"] = ends.at(static_cast<std::size_t>(sag.rest.at_end));
    return object;
}

Json json(const SupportChoice& chosen) {
    constexpr std::array<const char*, 3> names{"rate", "preload", "oil"};
    const auto words = [&](const std::vector<damper::Chosen>& list) {
        Json array = Json::array();
        for (const damper::Chosen what : list)
            array.push_back(names.at(static_cast<std::size_t>(what)));
        return array;
    };
    const auto goal = [](const damper::SupportGoal& of) {
        Json object;
        object["sag_m"] = or_null(of.sag);
        object["free_sag_m"] = or_null(of.free_sag);
        object["end_force_N"] = or_null(of.end_force);
        return object;
    };
    const damper::Support& support = *chosen.choice.setup.support;
    Json object;
    object["goal"] = goal(chosen.goal);
    object["reached"] = goal(chosen.choice.reached);
    object["chosen"] = words(chosen.choice.chosen);
    object["at_limit"] = words(chosen.choice.at_limit);
    object["rate_N_m"] = support.spring->rate;
    object["preload_m"] = support.spring->preload;
    object["oil_volume_m3"] = support.leg ? Json(support.leg->oil_volume) : Json(nullptr);
    const auto bounds = [](damper::Bounds of) { return Json::array({of.low, of.high}); };
    object["rate_limits_N_m"] = bounds(chosen.limits.rate);
    object["preload_limits_m"] = bounds(chosen.limits.preload);
    object["oil_limits_m3"] = support.leg ? bounds(chosen.limits.oil) : Json(nullptr);
    return object;
}

Json oil_json(const damper::Leg& leg, const damper::Cartridge& cartridge) {
    Json object;
    object["volume_m3"] = leg.oil_volume;
    object["air_m3"] = damper::air_volume(leg);
    object["levels"] = Json::array();
    if (!leg.column) return object;
    for (const damper::LevelMethod& method : damper::all_level_methods) {
        Json level;
        level["fork"] = method.fork == damper::ForkAt::compressed ? "compressed" : "extended";
        level["spring"] = method.spring == damper::SpringAt::out ? "out" : "in";
        const double depth = oil_depth(leg, cartridge, method);
        const bool is_in_column = depth >= 0.0 && depth <= leg.column->length;
        level["depth_m"] = is_in_column ? Json(depth) : Json(nullptr);
        object["levels"].push_back(level);
    }
    return object;
}

} // namespace

SupportResult support_result(std::string file, setup::Reading reading, const SupportOptions& options) {
    const damper::SetUp& unit = study::unit_of(file, reading);
    if (!unit.support)
        throw InputError(
            fmt::format("{}: support: missing: the springs, leg air and friction of the vehicle", file));
    SupportLaw law(unit);
    SupportResult result{.file = std::move(file), .reading = std::move(reading), .law = law};
    const double whole = law.travel();
    for (const double travel : options.travels.empty() ? even_travels(whole) : options.travels)
        result.points.push_back(law.at(travel));
    result.start = law.at(0.0);
    result.end = law.at(whole);
    result.half_energy = travel_used(law, 0.5 * result.end.energy, 0.0);
    result.unloaded = position_under(law, 0.0);
    const double rod = damper::rod_area(result.reading.unit->cartridge);
    result.rod_start = rod * (result.start.p_S - p_atm + law.reservoir_friction_pressure());
    result.hit_is_stated = options.hit.has_value();
    set_hit(result, options.hit.value_or(usual_hit * result.end.energy));
    if (const std::optional<damper::Load>& load = result.support().load) {
        result.sag = sag(law, force_of(*load, true));
        result.free_sag = sag(law, force_of(*load, false));
        result.frequency = ride_frequency(law, *load);
    }
    return result;
}

void set_hit(SupportResult& result, double energy) {
    result.hit = energy;
    result.hit_used = travel_used(result.law, energy, result.law.friction());
    result.hit_unrubbed = travel_used(result.law, energy, 0.0);
}

Json json(const SupportPoint& point, const SupportLaw& law) {
    const double rubbing = law.reservoir_friction_pressure();
    Json object;
    object["travel_m"] = point.travel;
    object["force_N"] = point.force;
    object["slope_N_m"] = point.slope;
    object["spring_N"] = point.spring;
    object["gas_N"] = point.gas;
    object["reservoir_N"] = point.reservoir;
    object["top_out_N"] = point.top_out;
    object["stop_N"] = point.stop;
    object["energy_J"] = point.energy;
    object["friction_N"] = law.friction();
    object["p_leg_Pa"] = or_null(point.p_leg);
    object["p_S_Pa"] = point.p_S;
    object["p_S_in_Pa"] = point.p_S + rubbing;
    object["p_S_out_Pa"] = point.p_S - rubbing;
    object["error"] = nullptr;
    refuse_non_finite(object);
    return object;
}

Json json(const SupportResult& result) {
    const damper::Support& support = result.support();
    const damper::Cartridge& cartridge = result.reading.unit->cartridge;
    Json object;
    object["title"] = result.reading.title;
    object["file"] = result.file;
    object["legs"] = support.legs;
    object["travel_m"] = result.law.travel();
    object["start_force_N"] = result.start.force;
    object["end_force_N"] = result.end.force;
    object["energy_J"] = result.end.energy;
    object["half_energy_travel_m"] = result.half_energy.travel;
    object["unloaded_travel_m"] = result.unloaded.travel;
    object["friction_N"] = result.law.friction();
    object["breakaway_N"] = result.law.breakaway();
    object["reservoir_friction_N"] = result.law.reservoir_friction();
    object["rod_start_N"] = result.rod_start;
    object["hit_J"] = result.hit;
    object["hit_is_stated"] = result.hit_is_stated;
    object["hit_travel_m"] = result.hit_used.travel;
    object["hit_bottoms"] = result.hit_used.at_end == damper::AtEnd::compressed;
    object["hit_travel_without_friction_m"] = result.hit_unrubbed.travel;
    object["sag"] = result.sag ? json(*result.sag, *support.load) : Json(nullptr);
    object["free_sag"] = result.free_sag ? json(*result.free_sag, *support.load) : Json(nullptr);
    object["ride_frequency_Hz"] = or_null(result.frequency);
    object["oil"] = support.leg ? oil_json(*support.leg, cartridge) : Json(nullptr);
    object["choice"] = result.chosen ? json(*result.chosen) : Json(nullptr);
    object["points"] = Json::array();
    for (const SupportPoint& point : result.points)
        object["points"].push_back(json(point, result.law));
    object["warnings"] = result.reading.warnings;
    object["defaults"] = json(result.reading.defaults);
    return object;
}

} // namespace valve::report
