#include <valve/report/adjusters.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/family.hpp>
#include <valve/report/text.hpp>
#include <valve/report/warning_words.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

using study::CurveFamily;
using study::Sweep;

/// Columns for the settings, after a first one.
std::vector<Table::Column> columns(const CurveFamily& family, Table::Column first, const std::string& unit) {
    std::vector<Table::Column> result{std::move(first)};
    for (const std::string& setting : family.sweep.settings)
        result.push_back({setting, unit});
    return result;
}

/// Indices of the speeds in one direction, slow before fast.
std::vector<std::size_t> rows(const std::vector<damper::SteadyPoint>& points, bool rebound) {
    std::vector<std::size_t> result;
    for (std::size_t i = 0; i < points.size(); ++i)
        if ((points[i].speed < 0.0) == rebound) result.push_back(i);
    std::stable_sort(result.begin(), result.end(), [&](std::size_t a, std::size_t b) {
        return std::abs(points[a].speed) < std::abs(points[b].speed);
    });
    return result;
}

/// Damping force from the first setting to the last, as a share of the first.
std::string change(const CurveFamily& family, std::size_t row) {
    const damper::SteadyPoint& first = family.members.front().curve.points.at(row);
    const damper::SteadyPoint& last = family.members.back().curve.points.at(row);
    if (first.error || last.error || first.damping_force == 0.0) return "-";
    return percent(last.damping_force / first.damping_force - 1.0);
}

/// "*" behind a force marks a void.
std::string force_table(const CurveFamily& family, const std::vector<std::size_t>& rows) {
    std::vector<Table::Column> head = columns(family, {"speed", "m/s"}, "N");
    head.push_back({"first to last", "%"});
    Table table(head);
    for (const std::size_t row : rows) {
        std::vector<std::string> cells{metres_a_second(family.members.front().curve.points.at(row).speed)};
        for (const study::CurveResult& member : family.members) {
            const damper::SteadyPoint& point = member.curve.points.at(row);
            cells.push_back(point.error ? "unsolved"
                                        : newton(point.damping_force) + (point.cavitated ? "*" : " "));
        }
        cells.push_back(change(family, row));
        table.add(cells);
    }
    return table.text();
}

std::string onset_table(const CurveFamily& family) {
    Table table(columns(family, {"voids from", "", true}, "m/s"));
    const auto add = [&](const std::string& name, damper::VoidOnset damper::Curve::*where,
                         std::optional<double> damper::VoidOnset::*direction,
                         std::optional<damper::VoidOnset::End> damper::VoidOnset::*end) {
        std::vector<std::string> cells{name};
        for (const study::CurveResult& member : family.members) {
            const damper::VoidOnset& onset = member.curve.*where;
            const std::optional<double>& speed = onset.*direction;
            cells.push_back(speed ? fixed(*speed, 2) : onset.*end ? "unsolved" : "none");
        }
        table.add(cells);
    };
    using damper::Curve;
    using damper::VoidOnset;
    add("rebound", &Curve::void_onset, &VoidOnset::rebound, &VoidOnset::rebound_end);
    add("compression", &Curve::void_onset, &VoidOnset::compression, &VoidOnset::compression_end);
    const std::string near = fmt::format(" at {} % travel", percent(damper::near_extension));
    add("rebound" + near, &Curve::void_onset_near_extension, &VoidOnset::rebound, &VoidOnset::rebound_end);
    add("compression" + near, &Curve::void_onset_near_extension, &VoidOnset::compression,
        &VoidOnset::compression_end);
    return table.text();
}

/// The adjusters that the sweep leaves alone: set alike in every member.
std::string other_settings(const CurveFamily& family) {
    const auto is_swept = [&](const study::Adjuster& adjuster) {
        const auto is_set_otherwise = [&](const study::CurveResult& member) {
            for (const study::Adjuster& own : study::adjusters(member.reading))
                if (own.key == adjuster.key) return own.setting != adjuster.setting;
            return true;
        };
        return adjuster.key == family.sweep.key ||
               std::any_of(family.members.begin(), family.members.end(), is_set_otherwise);
    };
    std::vector<study::Adjuster> others = study::adjusters(family.members.front().reading);
    others.erase(std::remove_if(others.begin(), others.end(), is_swept), others.end());
    return settings(others);
}

/// What a sweep leaves as it is, though on the bike it would move along.
std::string assumption_of(const Sweep& sweep) {
    if (sweep.key != "oil.temperature") return "";
    return "Only the oil is warmed: its viscosity and density. Gas pressures stay as the file gives them.";
}

/// "base.compression at 4 and 12 clicks out"; "damper.ring_leak.gap at 0.02 and 0.04 mm".
std::string sweep_words(const Sweep& sweep) {
    std::string words = fmt::format("{} at {}", sweep.name, listed(sweep.settings));
    if (sweep.key.empty()) words = fmt::format("{}: {}", sweep.name, listed(sweep.settings));
    if (!sweep.steps.empty()) words += " " + sweep.steps + " out";
    if (!sweep.unit.empty()) words += " " + sweep.unit;
    return words;
}

/// What ports and shims have to say, each once, with the settings at which they say it.
std::vector<std::string> warnings(const CurveFamily& family) {
    std::vector<std::pair<std::string, std::vector<std::string>>> found; // the warning, its settings
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        for (const std::string& warning : sentences(family.members[i].warnings)) {
            const auto same = std::find_if(found.begin(), found.end(),
                                           [&](const auto& known) { return known.first == warning; });
            auto& settings =
                (same != found.end() ? *same : found.emplace_back(warning, std::vector<std::string>{}))
                    .second;
            settings.push_back(family.sweep.settings[i]);
        }
    }
    std::vector<std::string> lines;
    for (const auto& [warning, settings] : found)
        lines.push_back(fmt::format("warning ({}): {}.",
                                    settings.size() == family.members.size() ? "at every setting"
                                                                             : "at " + listed(settings),
                                    warning));
    return lines;
}

} // namespace

Json json(const CurveFamily& family, const std::string& assumption) {
    const study::CurveResult& first = family.members.front();
    Json object;
    object["title"] = first.reading.title;
    object["file"] = first.file;
    object["theory"] = stack::name(first.curve.theory);
    object["travel_m"] = first.curve.travel;
    object["rod_into"] = rod_into(*first.reading.unit, first.options.rod_into);
    object["top_speed_m_s"] = first.options.top_speed;
    object["sweep"] = {{"name", family.sweep.name}, {"key", family.sweep.key}, {"unit", family.sweep.unit}};
    object["assumption"] = assumption.empty() ? assumption_of(family.sweep) : assumption;
    object["family"] = Json::array();
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        const study::CurveResult& member = family.members[i];
        Json entry;
        entry["setting"] = family.sweep.settings[i];
        const Json whole = json(member);
        for (const char* key : {"void_onset", "void_onset_near_extension", "points", "ports", "warnings"})
            entry[key] = whole.at(key);
        object["family"].push_back(entry);
    }
    object["left_out"] = json(family.left_out);
    object["defaults"] = json(first.reading.defaults);
    return object;
}

Json json(const std::vector<study::LeftOut>& left_out) {
    Json list = Json::array();
    for (const study::LeftOut& one : left_out)
        list.push_back({{"setting", one.setting}, {"error", one.why}});
    return list;
}

Json points(const CurveFamily& family) {
    Json list = Json::array();
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        const Json whole = json(family.members[i]);
        for (const Json& point : whole.at("points")) {
            Json row;
            row["setting"] = family.sweep.settings[i];
            row.update(point);
            list.push_back(row);
        }
    }
    return list;
}

std::string text(const CurveFamily& family, const std::string& assumption) {
    const study::CurveResult& first = family.members.front();
    std::string out = fmt::format("{}\n{}\n\n", first.reading.title, first.file);
    const auto line = [&](const std::string& sentences) {
        out += wrapped(sentences, page_columns - 2, "  ") + "\n";
    };
    line(fmt::format("{}. Damping force of one damper at {} mm travel.", sweep_words(family.sweep),
                     trim_mm(first.curve.travel)));
    const std::string granted = assumption.empty() ? assumption_of(family.sweep) : assumption;
    if (!granted.empty()) line(granted);
    const std::string others = other_settings(family);
    if (!others.empty()) line("As set: " + others + ".");

    for (const bool rebound : {false, true}) {
        const std::vector<std::size_t> chosen = rows(first.curve.points, rebound);
        if (chosen.empty()) continue;
        out += rebound ? "\nRebound\n" : "\nCompression\n";
        out += force_table(family, chosen);
    }
    out += "  * a chamber runs empty.\n\n";
    out += onset_table(family);
    for (std::size_t i = 0; i < family.members.size(); ++i)
        for (const damper::SteadyPoint& point : family.members[i].curve.points)
            if (point.error) line(fmt::format("{}: {}", family.sweep.settings[i], *point.error));
    const std::vector<std::string> said = warnings(family);
    if (!said.empty()) out += "\nPorts and shims\n";
    for (const std::string& warning : said)
        line(warning);
    out += "\n";
    line(fmt::format("The rod leaves into the {}. Theory: {}. \"none\": up to {} m/s.",
                     rod_into_words(*first.reading.unit, first.options.rod_into),
                     words(first.curve.theory, first.curve.bends), metres_a_second(first.options.top_speed)));
    return out + defaults_line(first.reading.defaults);
}

} // namespace valve::report
