#include <valve/report/assumptions.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/end_cups.hpp>
#include <valve/report/ports.hpp>
#include <valve/report/stress.hpp>
#include <valve/report/text.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

namespace valve::report {

namespace {

std::string_view name(damper::Chamber chamber) {
    return chamber == damper::Chamber::C ? "C" : "R";
}

/// A column for the plugs at the ends of the stroke, after "damping", where there are any.
constexpr std::ptrdiff_t after_damping = 3;

bool has_cups(const std::vector<const damper::SteadyPoint*>& points) {
    return points.front()->end_force.has_value();
}

Table compression_table(const std::vector<const damper::SteadyPoint*>& points) {
    std::vector<Table::Column> columns{{"speed", "m/s"},      {"force", "N"},       {"damping", "N"},
                                       {"base", "bar"},       {"piston", "bar"},    {"margin", "bar"},
                                       {"base share", "%"},   {"p C", "bar gauge"}, {"p R", "bar gauge"},
                                       {"headroom R", "bar"}, {"", "", true}};
    if (has_cups(points)) columns.insert(columns.begin() + after_damping, {"cup", "N"});
    Table table(columns);
    for (const damper::SteadyPoint* p : points) {
        std::vector<std::string> cells{metres_a_second(p->speed),
                                       newton(p->force),
                                       newton(p->damping_force),
                                       bar(p->dp_base),
                                       bar(p->dp_piston),
                                       p->balance_margin ? bar(*p->balance_margin) : "-",
                                       p->share_base ? fixed(*p->share_base * 100.0, 0) : "-",
                                       gauge(p->p_C),
                                       gauge(p->p_R),
                                       bar(p->headroom_R),
                                       p->cavitated ? "void in R" : ""};
        if (p->end_force) cells.insert(cells.begin() + after_damping, newton(*p->end_force));
        table.add(cells);
    }
    return table;
}

Table rebound_table(const std::vector<const damper::SteadyPoint*>& points) {
    std::vector<Table::Column> columns{{"speed", "m/s"},     {"force", "N"},        {"damping", "N"},
                                       {"deficit", "bar"},   {"piston", "bar"},     {"p C", "bar gauge"},
                                       {"p R", "bar gauge"}, {"headroom C", "bar"}, {"void grows", "ml/s"},
                                       {"", "", true}};
    if (has_cups(points)) columns.insert(columns.begin() + after_damping, {"cup", "N"});
    Table table(columns);
    for (const damper::SteadyPoint* p : points) {
        std::vector<std::string> cells{metres_a_second(p->speed),
                                       newton(p->force),
                                       newton(p->damping_force),
                                       p->refill_deficit ? bar(*p->refill_deficit) : "-",
                                       bar(p->dp_piston),
                                       gauge(p->p_C),
                                       gauge(p->p_R),
                                       bar(p->headroom_C),
                                       p->cavitated ? fixed(p->void_growth * 1e6, 1) : "",
                                       p->cavitated ? "void in C" : ""};
        if (p->end_force) cells.insert(cells.begin() + after_damping, newton(*p->end_force));
        table.add(cells);
    }
    return table;
}

std::string onset(std::string_view direction, const std::optional<double>& speed, bool complete,
                  double top_speed) {
    if (speed) return fmt::format("voids on {} from {} m/s", direction, fixed(*speed, 2));
    if (!complete) return fmt::format("the search for voids on {} found none but broke off", direction);
    return fmt::format("no void on {} up to {} m/s", direction, metres_a_second(top_speed));
}

} // namespace

bool CurveResult::failed() const {
    return (measured && measured->failed()) || curve.void_onset.error ||
           curve.void_onset_near_extension.error ||
           std::any_of(curve.points.begin(), curve.points.end(),
                       [](const damper::SteadyPoint& point) { return point.error.has_value(); });
}

CurveResult curve_result(std::string file, setup::Reading reading, const damper::CurveOptions& options,
                         damper::LiftCache& lifts, const std::optional<RunFile>& run) {
    CurveResult result{std::move(file), std::move(reading), options, {}};
    const damper::Model model = lifts.model(study::unit_of(result.file, result.reading));
    result.curve = damper::steady_curve(model, options);
    for (const damper::SteadyPoint& point : result.curve.points)
        result.through.push_back(point.error ? damper::ThroughValves{}
                                             : damper::through_valves(model, point));
    result.ports = damper::port_control(model, result.curve.travel, options.top_speed);
    result.shim_warnings = shim_warnings(model, result.curve, lifts);
    result.end_warnings = end_cup_warnings(model, result.curve);
    if (run)
        result.measured =
            RunBeside{run->file, run->run.kind,
                      damper::deviations(model, run->run, result.curve.travel, options.rod_into)};
    return result;
}

std::vector<std::string> flow_warnings(const CurveResult& result) {
    std::vector<std::string> warnings = port_warnings(result.ports, result.curve.points);
    for (const auto* more : {&result.shim_warnings, &result.end_warnings})
        warnings.insert(warnings.end(), more->begin(), more->end());
    return warnings;
}

Json json(const damper::SteadyPoint& point) {
    const bool solved = !point.error;
    const auto value = [solved](double number) { return solved ? Json(number) : Json(nullptr); };
    Json object;
    object["speed_m_s"] = point.speed;
    object["force_N"] = value(point.force);
    object["damping_force_N"] = value(point.damping_force);
    object["static_force_N"] = value(point.static_force);
    object["p_C_Pa"] = value(point.p_C);
    object["p_R_Pa"] = value(point.p_R);
    object["p_S_Pa"] = value(point.p_S);
    object["dp_base_Pa"] = value(point.dp_base);
    object["dp_piston_Pa"] = value(point.dp_piston);
    object["refill_deficit_Pa"] = or_null(point.refill_deficit);
    object["balance_margin_Pa"] = or_null(point.balance_margin);
    object["share_base"] = or_null(point.share_base);
    object["void_growth_m3_s"] = value(point.void_growth);
    object["cavitated"] = point.cavitated ? Json(name(*point.cavitated)) : Json(nullptr);
    object["headroom_C_Pa"] = value(point.headroom_C);
    object["headroom_R_Pa"] = value(point.headroom_R);
    object["reservoir_friction_Pa"] = value(point.reservoir_friction);
    object["error"] = or_null(point.error);
    object["end_force_N"] = or_null(point.end_force);
    object["end_pressure_Pa"] = or_null(point.end_pressure);
    object["flow_piston_m3_s"] = value(std::abs(point.piston.flow));
    object["flow_base_m3_s"] = value(std::abs(point.intake));
    object["lift_piston_m"] = value(point.piston.lift);
    object["lift_base_m"] = solved && point.base ? Json(point.base->lift) : Json(nullptr);
    refuse_non_finite(object);
    return object;
}

Json json(const damper::VoidOnset& onset) {
    Json object;
    object["compression_m_s"] = or_null(onset.compression);
    object["rebound_m_s"] = or_null(onset.rebound);
    object["error"] = or_null(onset.error);
    refuse_non_finite(object);
    return object;
}

Json json(const CurveResult& result) {
    Json object;
    object["title"] = result.reading.title;
    object["file"] = result.file;
    object["theory"] = stack::name(result.curve.theory);
    object["travel_m"] = result.curve.travel;
    object["rod_into"] = rod_into(*result.reading.unit, result.options.rod_into);
    object["top_speed_m_s"] = result.options.top_speed;
    object["void_onset"] = json(result.curve.void_onset);
    object["void_onset_near_extension"] = json(result.curve.void_onset_near_extension);
    object["points"] = Json::array();
    for (std::size_t i = 0; i < result.curve.points.size(); ++i) {
        Json row = json(result.curve.points[i]);
        if (!result.through.empty()) row.update(json(result.through.at(i)));
        object["points"].push_back(row);
    }
    object["ports"] = json(result.ports);
    object["measured"] = result.measured ? json(*result.measured) : Json(nullptr);
    object["rule_of_ports"] = rule_of_ports();
    object["warnings"] = result.reading.warnings;
    for (const std::string& warning : flow_warnings(result))
        object["warnings"].push_back(warning);
    object["defaults"] = json(result.reading.defaults);
    return object;
}

std::string sentence(const damper::VoidOnset& found, double top_speed) {
    const bool complete = !found.error;
    std::string text = onset("rebound", found.rebound, complete, top_speed) + "; " +
                       onset("compression", found.compression, complete, top_speed) + ".";
    return complete ? text : text + " Why it broke off: " + *found.error + ".";
}

std::string text(const CurveResult& result) {
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
    line("Near full extension (10 % travel): " +
         sentence(result.curve.void_onset_near_extension, result.options.top_speed));

    if (!compression.empty()) {
        out += "\nCompression (margin: loss in the base less loss in the piston)\n";
        out += compression_table(compression).text();
        out += "  A margin below 0 lets the rod side fall below the reservoir.\n";
    }
    if (!rebound.empty()) {
        out += "\nRebound (deficit: how far the chamber behind the piston falls below the reservoir)\n";
        out += rebound_table(rebound).text();
    }
    if (!result.ports.empty()) {
        out += "\nPorts and curtain at the fastest speeds asked\n";
        out += port_table(result.ports, result.curve.points, result.through);
        for (const std::string& warning : port_warnings(result.ports, result.curve.points))
            line("warning: " + warning + ".");
        line(std::string(rule_of_ports()));
    }
    if (!result.shim_warnings.empty()) out += "\nShims\n";
    for (const std::string& warning : result.shim_warnings)
        line("warning: " + warning + ".");
    const std::vector<std::string> ends = end_cup_lines(result.reading.unit->cartridge);
    if (!ends.empty())
        out += "\nEnds of the stroke (cup: force of the plug, part of \"force\" and \"damping\")\n";
    for (const std::string& end : ends)
        line(end + ".");
    for (const std::string& warning : result.end_warnings)
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
                     stack::name(result.curve.theory)));
    const std::string floated = floated_valves(*result.reading.unit);
    if (!floated.empty()) line("Floated: " + floated + ".");
    return out + defaults_line(result.reading.defaults);
}

} // namespace valve::report
