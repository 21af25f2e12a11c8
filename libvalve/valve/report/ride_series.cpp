#include <valve/core/number.hpp>
#include <valve/report/ride_series.hpp>
#include <valve/report/series.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <string>
#include <utility>
#include <vector>

namespace valve::report {

namespace {

using Moment = motion::RideMoment;

std::vector<Moment> moments(const motion::Ride& ride) {
    std::vector<Moment> list;
    list.reserve(ride.series.size() + ride.extremes.size());
    std::merge(ride.series.begin(), ride.series.end(), ride.extremes.begin(), ride.extremes.end(),
               std::back_inserter(list), [](const Moment& a, const Moment& b) { return a.time < b.time; });
    return list;
}

/// The numbers of those that are drawn, rising.
std::vector<std::size_t> drawn(const std::vector<Moment>& list) {
    constexpr std::array shown{&Moment::travel, &Moment::ground,     &Moment::unsprung,
                               &Moment::sprung, &Moment::wheel_load, &Moment::acceleration};
    const double duration = list.back().time;
    const auto part_of = [&](std::size_t i) {
        constexpr double rounding = 1e-9;
        const double part = list[i].time / duration * static_cast<double>(most_parts) + rounding;
        return std::min(static_cast<std::size_t>(part), most_parts - 1);
    };
    std::vector<std::size_t> firsts{0}; // of the parts, and the last of all
    for (std::size_t i = 1; i < list.size(); ++i)
        if (part_of(i) != part_of(firsts.back())) firsts.push_back(i);
    firsts.push_back(list.size() - 1);
    std::vector<std::size_t> kept = firsts;
    const auto at = [&](std::size_t i) { return std::next(list.begin(), static_cast<std::ptrdiff_t>(i)); };
    for (double Moment::*const member : shown) {
        const auto extremes = [&](std::size_t from, std::size_t end) {
            const auto less = [member](const Moment& a, const Moment& b) { return a.*member < b.*member; };
            const auto [least, greatest] = std::minmax_element(at(from), at(end), less);
            return std::pair{static_cast<std::size_t>(least - list.begin()),
                             static_cast<std::size_t>(greatest - list.begin())};
        };
        const auto [lowest, highest] = extremes(0, list.size());
        kept.insert(kept.end(), {lowest, highest});
        constexpr double seen = 1e-2; // of the whole height
        const double beyond = seen * (list[highest].*member - list[lowest].*member);
        for (std::size_t part = 0; part + 1 < firsts.size(); ++part) {
            const auto [low, high] = std::minmax(list[firsts[part]].*member, list[firsts[part + 1]].*member);
            const auto [least, greatest] = extremes(firsts[part], firsts[part + 1] + 1);
            if (list[least].*member < low - beyond) kept.push_back(least);
            if (list[greatest].*member > high + beyond) kept.push_back(greatest);
        }
    }
    std::sort(kept.begin(), kept.end());
    kept.erase(std::unique(kept.begin(), kept.end()), kept.end());
    return kept;
}

} // namespace

Json series(const study::RideFigures& ride, std::size_t units) {
    const std::vector<Moment> told = moments(ride.ride);
    Json object = Json::object();
    const auto column = [&](const std::string& key, const auto& value) {
        Json list = Json::array();
        for (const Moment& moment : told)
            list.push_back(value(moment));
        object[key] = std::move(list);
    };
    column("time_s", [](const Moment& m) { return m.time; });
    column("distance_m", [](const Moment& m) { return m.distance; });
    column("travel_m", [](const Moment& m) { return m.travel; });
    column("speed_m_s", [](const Moment& m) { return m.speed; });
    column("force_N", [](const Moment& m) { return m.force; });
    column("sprung_m", [](const Moment& m) { return m.sprung; });
    column("unsprung_m", [](const Moment& m) { return m.unsprung; });
    column("ground_m", [](const Moment& m) { return m.ground; });
    column("wheel_load_N", [](const Moment& m) { return m.wheel_load; });
    column("acceleration_m_s2", [](const Moment& m) { return m.acceleration; });
    for (std::size_t i = 0; i < units; ++i) {
        const std::string other = i == 0 ? "" : "other_leg_";
        column(other + "p_C_Pa", [&](const Moment& m) { return m.units[i].p_C; });
        column(other + "p_R_Pa", [&](const Moment& m) { return m.units[i].p_R; });
        column(other + "p_S_Pa", [&](const Moment& m) { return m.units[i].p_S; });
        column(other + "void_C_m3", [&](const Moment& m) { return m.units[i].void_C; });
        column(other + "void_R_m3", [&](const Moment& m) { return m.units[i].void_R; });
        object[other + "lift_m"] = lifts_of(
            ride.ride.metrics.units[i].valves,
            told, [&](const Moment& m) -> const auto& { return m.units[i]; });
    }
    return object;
}

Json series_to_draw(const study::RideFigures& ride) {
    const std::vector<Moment> list = moments(ride.ride);
    const std::vector<std::size_t> numbers = drawn(list);
    const auto column = [&](double Moment::*member, double step) {
        Json rows = Json::array();
        for (const std::size_t i : numbers)
            rows.push_back(parse_number(fmt::format("{:.5g}", std::round(list[i].*member / step) * step)));
        return rows;
    };
    constexpr double length = 1e-5; // a tenth of what is told
    return {{"time_s", column(&Moment::time, 1e-4)},
            {"distance_m", column(&Moment::distance, 1e-3)},
            {"travel_m", column(&Moment::travel, length)},
            {"ground_m", column(&Moment::ground, length)},
            {"unsprung_m", column(&Moment::unsprung, length)},
            {"sprung_m", column(&Moment::sprung, length)},
            {"wheel_load_N", column(&Moment::wheel_load, 0.1)},
            {"acceleration_m_s2", column(&Moment::acceleration, 1e-2)}};
}

} // namespace valve::report
