#include <valve/report/assumptions.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/curve_fields.hpp>
#include <valve/report/end_cups.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/ports.hpp>
#include <valve/report/text.hpp>
#include <valve/report/unevenness.hpp>
#include <valve/report/warning_words.hpp>
#include <valve/study/lead.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

namespace valve::report {

namespace {

using Points = std::vector<const damper::SteadyPoint*>;

/// What the plugs at the ends of the stroke add, where there are any.
std::vector<std::string_view> with_cups(std::vector<std::string_view> keys, const Points& points) {
    if (points.front()->end_force)
        keys.insert(std::find(keys.begin(), keys.end(), "damping_force_N") + 1, "end_force_N");
    return keys;
}

/// A row a point under the headings of `keys`, and what void there is.
Table table_of(const Points& points, const std::vector<std::string_view>& keys) {
    std::vector<Table::Column> columns;
    for (const std::string_view key : keys)
        columns.push_back(column(field_of(steady_fields(), key)));
    columns.push_back({"", "", true});
    Table table(columns);
    for (const damper::SteadyPoint* point : points) {
        std::vector<std::string> cells;
        for (const std::string_view key : keys)
            cells.push_back(key == "void_growth_m3_s" && !point->cavitated
                                ? ""
                                : cell(field_of(steady_fields(), key), *point));
        cells.push_back(point->cavitated ? "void " + cell(field_of(steady_fields(), "cavitated"), *point)
                                         : "");
        table.add(cells);
    }
    return table;
}

Table compression_table(const Points& points) {
    return table_of(points,
                    with_cups({"speed_m_s", "force_N", "damping_force_N", "dp_base_Pa", "dp_piston_Pa",
                               "balance_margin_Pa", "share_base", "p_C_Pa", "p_R_Pa", "headroom_R_Pa"},
                              points));
}

Table rebound_table(const Points& points) {
    return table_of(points,
                    with_cups({"speed_m_s", "force_N", "damping_force_N", "refill_deficit_Pa", "dp_piston_Pa",
                               "p_C_Pa", "p_R_Pa", "headroom_C_Pa", "void_growth_m3_s"},
                              points));
}

std::string onset(std::string_view direction, const std::optional<double>& speed,
                  const std::optional<damper::VoidOnset::End>& end, double top_speed) {
    if (speed == 0.0) return fmt::format("voids on {} from the first movement", direction);
    if (speed) return fmt::format("voids on {} from {} m/s", direction, fixed(*speed, 2));
    if (end)
        return fmt::format("no void on {} up to {} m/s, where the search broke off", direction,
                           fixed(end->speed, 2));
    return fmt::format("no void on {} up to {} m/s", direction, metres_a_second(top_speed));
}

} // namespace

Json json(const damper::SteadyPoint& point) {
    Json object;
    add_fields(object, steady_fields(), point);
    return object;
}

Json json(const damper::VoidOnset& onset) {
    Json object;
    add_fields(object, onset_fields(), onset);
    return object;
}

Json json(const study::CurveResult& result) {
    Json object;
    object["title"] = result.reading.title;
    object["file"] = result.file;
    object["theory"] = stack::name(result.curve.theory);
    object["shape"] = shape_name(result.curve.bends);
    object["travel_m"] = result.curve.travel;
    object["rod_into"] = rod_into(*result.reading.unit, result.options.rod_into);
    object["top_speed_m_s"] = result.options.top_speed;
    object["void_onset"] = json(result.curve.void_onset);
    object["void_onset_near_extension"] = json(result.curve.void_onset_near_extension);
    object["balance_negative_from_m_s"] = or_null(result.margin_below_zero.from());
    object["points"] = Json::array();
    for (std::size_t i = 0; i < result.curve.points.size(); ++i) {
        Json row = json(result.curve.points[i]);
        if (!result.through.empty()) row.update(json(result.through.at(i)));
        object["points"].push_back(row);
    }
    object["ports"] = json(result.ports);
    object["not_round"] = json(result.not_round);
    object["measured"] = result.measured ? json(*result.measured) : Json(nullptr);
    object["rule_of_ports"] = rule_of_ports();
    object["warnings"] = result.reading.warnings;
    for (const std::string& warning : sentences(result.warnings))
        object["warnings"].push_back(warning);
    object["warned"] = values(result.warnings);
    object["defaults"] = json(result.reading.defaults);
    return object;
}

std::string sentence(const damper::VoidOnset& found, double top_speed) {
    const std::string text = onset("rebound", found.rebound, found.rebound_end, top_speed) + "; " +
                             onset("compression", found.compression, found.compression_end, top_speed) + ".";
    const std::optional<std::string> error = found.error();
    return error ? text + " Why it broke off: " + *error + "." : text;
}

std::string text(const study::CurveResult& result) {
    std::vector<const damper::SteadyPoint*> compression;
    std::vector<const damper::SteadyPoint*> rebound;
    std::vector<const damper::SteadyPoint*> unsolved;
    for (const damper::SteadyPoint& point : result.curve.points)
        (point.error ? unsolved : point.speed < 0.0 ? rebound : compression).push_back(&point);

    const auto slower = [](const auto* a, const auto* b) { return std::abs(a->speed) < std::abs(b->speed); };
    std::stable_sort(compression.begin(), compression.end(), slower);
    std::stable_sort(rebound.begin(), rebound.end(), slower);

    std::string out = fmt::format("{}\n{}\n\n", result.reading.title, result.file);
    const auto line = [&](const std::string& sentences) {
        out += wrapped(sentences, page_columns - 2, "  ") + "\n";
    };
    line(fmt::format("At {} mm travel: {}", trim_mm(result.curve.travel),
                     sentence(result.curve.void_onset, result.options.top_speed)));
    line(fmt::format("Near full extension ({} % travel): {}", percent(damper::near_extension),
                     sentence(result.curve.void_onset_near_extension, result.options.top_speed)));

    if (!compression.empty()) {
        out += "\nCompression (margin: loss in the base less loss in the piston)\n";
        out += compression_table(compression).text();
        out +=
            study::margin_decides(*result.reading.unit)
                ? fmt::format(
                      "  A margin below 0 lets the rod side fall below the reservoir; onsets leave out less "
                      "than {} bar.\n",
                      bar(damper::margin_trifle))
                : "  The margin does not judge this unit, the headroom of R does.\n";
    }
    if (!rebound.empty()) {
        out += "\nRebound (deficit: how far the chamber behind the piston falls below the reservoir)\n";
        out += rebound_table(rebound).text();
    }
    if (!result.ports.empty()) {
        out += "\nPorts and curtain at the fastest speeds asked\n";
        out += port_table(result.ports, result.curve.points, result.through);
        for (const std::string& warning : sentences(result.warnings, study::WarningSubject::ports))
            line("warning: " + warning + ".");
        line(std::string(rule_of_ports()));
    }
    const std::vector<std::string> shims = sentences(result.warnings, study::WarningSubject::shims);
    if (!shims.empty() || !result.not_round.empty()) out += "\nShims\n";
    for (const std::string& bent : sentences(result.not_round))
        line(bent + ".");
    for (const std::string& warning : shims)
        line("warning: " + warning + ".");
    const std::vector<std::string> ends = end_cup_lines(result.reading.unit->cartridge);
    if (!ends.empty())
        out += "\nEnds of the stroke (cup: force of the plug, part of \"force\" and \"damping\")\n";
    for (const std::string& end : ends)
        line(end + ".");
    for (const std::string& warning : sentences(result.warnings, study::WarningSubject::ends))
        line("warning: " + warning + ".");
    if (result.measured) out += text(*result.measured);
    if (!unsolved.empty()) out += "\nNo solution\n";
    for (const damper::SteadyPoint* point : unsolved)
        line("  " + *point->error);

    out += "\n";
    const auto solved = std::find_if(result.curve.points.begin(), result.curve.points.end(),
                                     [](const damper::SteadyPoint& point) { return !point.error; });
    if (solved != result.curve.points.end())
        line(fmt::format(
            "Forces of one damper. Static force {} N is in \"force\", not in \"damping\"; reservoir friction "
            "{} bar is in both.",
            newton(solved->static_force), bar(solved->reservoir_friction)));
    line(fmt::format("The rod leaves into the {}. Theory: {}.",
                     rod_into_words(*result.reading.unit, result.options.rod_into),
                     words(result.curve.theory, result.curve.bends)));
    const std::string floated = floated_valves(*result.reading.unit);
    if (!floated.empty()) line("Floated: " + floated + ".");
    return out + defaults_line(result.reading.defaults);
}

} // namespace valve::report
