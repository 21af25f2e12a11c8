#include <valve/damper/geometry.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/support.hpp>

#include <array>

namespace valve::report {

namespace {

using damper::SupportLaw;
using damper::SupportPoint;

Json sag_json(const damper::Sag& sag) {
    constexpr std::array<const char*, 3> ends{"no", "extended", "compressed"};
    Json object;
    object["force_N"] = sag.force;
    object["travel_m"] = sag.rest.travel;
    object["least_m"] = sag.least.travel;
    object["most_m"] = sag.most.travel;
    object["wheel_travel_m"] = sag.wheel_travel;
    object["at_end"] = ends.at(static_cast<std::size_t>(sag.rest.at_end));
    return object;
}

Json choice_json(const study::SupportChoice& chosen) {
    constexpr std::array<const char*, 3> names{"rate", "preload", "oil"};
    const auto words = [&](const std::vector<damper::Chosen>& list) {
        Json array = Json::array();
        for (const damper::Chosen what : list)
            array.push_back(names.at(static_cast<std::size_t>(what)));
        return array;
    };
    const damper::Support& support = *chosen.choice.setup.support;
    const damper::Linkage linkage(support.load.value());
    const auto at_wheel = [&linkage](const std::optional<double>& sag) {
        return sag ? Json(linkage.wheel_travel(*sag)) : Json(nullptr);
    };
    const auto goal = [&](const damper::SupportGoal& of) {
        Json object;
        object["sag_m"] = or_null(of.sag);
        object["free_sag_m"] = or_null(of.free_sag);
        object["end_force_N"] = or_null(of.end_force);
        object["sag_wheel_m"] = at_wheel(of.sag);
        object["free_sag_wheel_m"] = at_wheel(of.free_sag);
        return object;
    };
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

Json json(const study::SupportResult& result) {
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
    object["sag"] = result.sag ? sag_json(*result.sag) : Json(nullptr);
    object["free_sag"] = result.free_sag ? sag_json(*result.free_sag) : Json(nullptr);
    object["ride_frequency_Hz"] = or_null(result.frequency);
    object["oil"] = support.leg ? oil_json(*support.leg, cartridge) : Json(nullptr);
    object["choice"] = result.chosen ? choice_json(*result.chosen) : Json(nullptr);
    object["points"] = Json::array();
    for (const SupportPoint& point : result.points)
        object["points"].push_back(json(point, result.law));
    object["warnings"] = result.reading.warnings;
    object["defaults"] = json(result.reading.defaults);
    return object;
}

} // namespace valve::report
