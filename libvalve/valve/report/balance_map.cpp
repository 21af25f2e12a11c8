#include <valve/report/assumptions.hpp>
#include <valve/report/balance_map.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/text.hpp>
#include <valve/setup/shims.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <tuple>
#include <utility>

namespace valve::report {

namespace {

using damper::Place;
using damper::SteadyPoint;
using study::BalanceMap;
using study::LeadBy;
using study::LeadChange;

const stack::Stack& stack_of(const damper::SetUp& unit, Place place) {
    return unit.valves[place].value().stack;
}

/// Name of the number that a change steps, in JSON.
std::string_view number_name(LeadBy by) {
    switch (by) {
    case LeadBy::mid_valve_float:
        return "mid_valve_float_m";
    case LeadBy::base_face_shims:
        return "base_shims";
    case LeadBy::mid_valve_shims:
        return "mid_valve_shims";
    }
    return "";
}

std::string face_shim(const damper::SetUp& unit, Place place) {
    const stack::Shim& shim = stack_of(unit, place).shims.front();
    return setup::shim_text(2.0 * shim.outer_radius, shim.thickness);
}

/// "0.31 mm more mid-valve float (0.10 → 0.41 mm)".
std::string change_words(const damper::SetUp& unit, const LeadChange& change, int steps) {
    const std::string plural = steps == 1 ? "" : "s";
    switch (change.by) {
    case LeadBy::mid_valve_float:
        return fmt::format("{} mm more mid-valve float ({} → {} mm)",
                           fixed(steps * study::lead_float_step * 1e3, 2), fixed(change.from * 1e3, 2),
                           fixed(change.to * 1e3, 2));
    case LeadBy::base_face_shims:
        return fmt::format("{} more face shim{} {} on the base valve", steps, plural,
                           face_shim(unit, Place::base_compression));
    case LeadBy::mid_valve_shims:
        return fmt::format("{} face shim{} {} less on the mid-valve, its float {},", steps, plural,
                           face_shim(unit, Place::piston_compression),
                           change.float_given_back > 0.0
                               ? fixed(change.float_given_back * 1e3, 2) + " mm more"
                               : "as it is");
    }
    return "";
}

std::string change_sentence(const damper::SetUp& unit, const study::Lead& lead, const LeadChange& change) {
    const std::string words = change_words(unit, change, change.steps.value_or(change.most));
    if (change.error) return fmt::format("The search up to {} broke off: {}.", words, *change.error);
    return fmt::format("{} {}: margin {} bar, damping {} → {} N.", words,
                       change.steps ? "alone would restore it" : "would not be enough", bar(change.margin),
                       newton(lead.damping_force), newton(change.damping_force));
}

/// The compression point of the map with the least headroom of R, and its travel.
std::string headroom_sentence(const BalanceMap& map) {
    const std::optional<study::MapPoint> least = study::least_headroom(map);
    if (!least) return "No point on compression was solved.";
    const SteadyPoint& point = *least->point;
    return fmt::format("Least on this map: {} bar at {} m/s and {} mm{}.", bar(point.headroom_R),
                       metres_a_second(point.speed), trim_mm(least->travel),
                       point.cavitated ? ", a void" : "");
}

/// A table with a row a speed in one direction and a column a travel; "*" behind a number marks a void.
template <class Cell>
std::string table(const BalanceMap& map, bool rebound, const std::string& unit, const Cell& cell) {
    std::vector<Table::Column> columns{{"speed", "m/s"}};
    for (const damper::Curve& curve : map.curves)
        columns.push_back({trim_mm(curve.travel) + " mm", unit});
    Table table(columns);
    const std::vector<SteadyPoint>& first = map.curves.front().points;
    for (std::size_t i = 0; i < first.size(); ++i) {
        if ((first[i].speed < 0.0) != rebound || first[i].speed == 0.0) continue;
        std::vector<std::string> cells{metres_a_second(first[i].speed)};
        for (const damper::Curve& curve : map.curves) {
            const SteadyPoint& point = curve.points.at(i);
            cells.push_back(point.error ? "unsolved" : cell(point) + (point.cavitated ? "*" : " "));
        }
        table.add(cells);
    }
    return table.text();
}

std::string onset_table(const BalanceMap& map) {
    std::vector<Table::Column> columns{{"voids from", "", true}};
    for (const damper::Curve& curve : map.curves)
        columns.push_back({trim_mm(curve.travel) + " mm", "m/s"});
    Table table(columns);
    using damper::VoidOnset;
    for (const auto& [name, direction, end] :
         {std::tuple{"rebound", &VoidOnset::rebound, &VoidOnset::rebound_end},
          std::tuple{"compression", &VoidOnset::compression, &VoidOnset::compression_end}}) {
        std::vector<std::string> cells{name};
        for (const damper::Curve& curve : map.curves) {
            const std::optional<double>& speed = curve.void_onset.*direction;
            cells.push_back(speed ? fixed(*speed, 2) : curve.void_onset.*end ? "unsolved" : "none");
        }
        table.add(cells);
    }
    return table.text();
}

std::string_view criterion(const BalanceMap& map) {
    return study::judged_by_margin(map) ? "balance_margin" : "headroom_R";
}

Json lead_json(const study::Lead& lead) {
    Json object;
    object["speed_m_s"] = lead.speed;
    object["travel_m"] = lead.travel;
    object["balance_margin_Pa"] = lead.margin;
    object["damping_force_N"] = lead.damping_force;
    object["mid_valve_port_share"] = or_null(lead.mid_valve_port_share);
    object["changes"] = Json::array();
    for (const LeadChange& change : lead.changes) {
        const auto value = [&](double solved) { return change.error ? Json(nullptr) : Json(solved); };
        Json entry;
        entry["number"] = number_name(change.by);
        entry["key"] = change.key;
        entry["from"] = change.from;
        entry["to"] = change.to;
        entry["is_enough"] = change.steps.has_value();
        entry["balance_margin_Pa"] = value(change.margin);
        entry["damping_force_N"] = value(change.damping_force);
        entry["error"] = or_null(change.error);
        object["changes"].push_back(entry);
    }
    return object;
}

} // namespace

Json points(const BalanceMap& map) {
    Json rows = Json::array();
    for (const damper::Curve& curve : map.curves) {
        for (const SteadyPoint& point : curve.points) {
            Json row;
            row["travel_m"] = curve.travel;
            row.update(json(point));
            rows.push_back(row);
        }
    }
    return rows;
}

Json json(const BalanceMap& map) {
    Json object;
    object["title"] = map.reading.title;
    object["file"] = map.file;
    object["theory"] = stack::name(map.curves.front().theory);
    object["rod_into"] = rod_into(*map.reading.unit, map.options.rod_into);
    object["top_speed_m_s"] = map.options.top_speed;
    object["map"] = {{"speeds_m_s", map.options.speeds}, {"travels_m", map.options.travels}};
    object["map"]["points"] = points(map);
    object["map"]["void_onset"] = Json::array();
    for (const damper::Curve& curve : map.curves) {
        Json onset;
        onset["travel_m"] = curve.travel;
        onset.update(json(curve.void_onset));
        object["map"]["void_onset"].push_back(onset);
    }
    object["criterion"] = criterion(map);
    object["lead"] = map.lead ? lead_json(*map.lead) : Json(nullptr);
    object["lead_error"] = map.lead ? Json(nullptr) : Json(map.lead_error);
    object["sentences"] = sentences(map);
    object["warnings"] = map.reading.warnings;
    object["defaults"] = json(map.reading.defaults);
    return object;
}

std::vector<std::string> sentences(const BalanceMap& map) {
    const damper::SetUp& unit = *map.reading.unit;
    if (!study::judged_by_margin(map))
        return {"With gas behind C a balance margin below 0 is normal: what counts on compression is the "
                "headroom of the rod side (R). " +
                headroom_sentence(map)};
    if (!map.lead) return {"The balance could not be solved: " + map.lead_error + "."};
    const study::Lead& lead = *map.lead;
    std::vector<std::string> list{fmt::format(
        "At {} m/s the balance margin is {} bar{}: the {} leads.", metres_a_second(lead.speed),
        bar(lead.margin), lead.is_empty ? ", the least there can be, with the rod side empty" : "",
        lead.margin < 0.0 ? "mid-valve" : "base valve")};
    for (const LeadChange& change : lead.changes)
        list.push_back(change_sentence(unit, lead, change));
    if (lead.margin < 0.0 && lead.mid_valve_chokes())
        list.push_back(
            fmt::format("The mid-valve chokes there: its ports take {} % of its loss, so that float "
                        "and shims change little. Larger ports in the piston would.",
                        percent(*lead.mid_valve_port_share)));
    if (lead.margin < 0.0 && lead.changes.empty())
        list.emplace_back("There is no float on the mid-valve nor a shim to add or to take away.");
    return list;
}

std::string text(const BalanceMap& map) {
    std::string out = fmt::format("{}\n{}\n\n", map.reading.title, map.file);
    const auto line = [&](const std::string& words) { out += wrapped(words, page_columns - 2, "  ") + "\n"; };
    for (const std::string& sentence : sentences(map))
        line(sentence);

    const auto has = [&](bool rebound) {
        return std::any_of(map.options.speeds.begin(), map.options.speeds.end(),
                           [rebound](double speed) { return rebound ? speed < 0.0 : speed > 0.0; });
    };
    if (has(false)) {
        if (study::judged_by_margin(map)) {
            out += "\nCompression: balance margin (loss in the base less loss in the piston)\n";
            out += table(map, false, "bar",
                         [](const SteadyPoint& p) { return bar(p.balance_margin.value_or(0.0)); });
        }
        out += "\nCompression: share of the base valve\n";
        out += table(map, false, "%", [](const SteadyPoint& p) {
            return p.share_base ? percent(*p.share_base) : std::string("-");
        });
        out += "\nCompression: headroom of the rod side (R) above a void\n";
        out += table(map, false, "bar", [](const SteadyPoint& p) { return bar(p.headroom_R); });
    }
    if (has(true)) {
        out += "\nRebound: headroom behind the piston (C) above a void\n";
        out += table(map, true, "bar", [](const SteadyPoint& p) { return bar(p.headroom_C); });
    }
    line(study::judged_by_margin(map)
             ? "* a chamber runs empty; the margin stays at what the reservoir stands above a void."
             : "* a chamber runs empty.");
    out += "\n" + onset_table(map);
    for (const damper::Curve& curve : map.curves)
        for (const SteadyPoint& point : curve.points)
            if (point.error) line(*point.error);
    out += "\n";
    if (study::judged_by_margin(map))
        line(fmt::format("Changes are looked for one at a time, at mid travel, with the stacks solved again: "
                         "float in steps of {} mm up to {} mm, up to {} shims more.",
                         trim_mm(study::lead_float_step), trim_mm(study::lead_float_limit),
                         study::lead_shim_limit));
    line(fmt::format("\"none\": up to {} m/s. Theory: {}.", metres_a_second(map.options.top_speed),
                     stack::name(map.curves.front().theory)));
    return out + defaults_line(map.reading.defaults);
}

} // namespace valve::report
