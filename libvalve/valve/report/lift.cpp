#include <valve/flow/valve_law.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/lift.hpp>
#include <valve/report/lift_fields.hpp>
#include <valve/report/ring_sentences.hpp>
#include <valve/report/sketch.hpp>
#include <valve/report/text.hpp>
#include <valve/report/uneven_drawing.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace valve::report {

namespace {

using Share = std::optional<stack::StressShare> stack::LiftPoint::*;

std::optional<double> share_of(const stack::LiftPoint& point, Share share) {
    return point.*share ? std::optional<double>((point.*share)->share) : std::nullopt;
}

Json row_json(const study::LiftRow& row, const stack::Stack& stack) {
    const LiftRowOf of{&row, &stack};
    Json object;
    for (const Field<LiftRowOf>& field : lift_fields())
        if (stack.windows > 0 || !of_windows(field)) object[field.key] = to_json(field.value(of));
    refuse_non_finite(object);
    return object;
}

Json event_json(const stack::Event& event) {
    Json object;
    object["pressure_Pa"] = event.pressure;
    object["kind"] = stack::name(event.kind);
    object["shims"] = event.shims;
    object["radius_m"] = event.radius;
    return object;
}

std::string event_words(const stack::Event& event) {
    std::vector<std::string> shims;
    for (const int shim : event.shims)
        shims.push_back(fmt::format("{}", shim));
    std::string text = fmt::format("{:>7} bar  {}", fixed(event.pressure / 1e5, 3), stack::name(event.kind));
    const bool between_shims = event.kind == stack::EventKind::touch ||
                               event.kind == stack::EventKind::gap_closing ||
                               event.kind == stack::EventKind::part;
    if (between_shims && !shims.empty())
        text += fmt::format(", shims {} at Ø {}", listed(shims), trim_mm(2.0 * event.radius));
    return text + "\n";
}

std::string pressure_or(const std::optional<double>& pressure, std::string_view none) {
    return pressure ? fixed(*pressure / 1e5, 3) + " bar" : std::string(none);
}

/// Whether a row is told as the stack bends round the ring.
bool is_uneven(const study::LiftResult& result) {
    return std::any_of(result.rows.begin(), result.rows.end(),
                       [](const study::LiftRow& row) { return row.uneven.has_value(); });
}

/// What linear plates would get wrong, up to the last row shown.
std::string linear_words(const study::LiftResult& result) {
    const stack::LinearError& linear = *result.linear_error;
    std::string text =
        linear.from_pressure
            ? fmt::format("Linear plates are off by more than {} % of the lift from {} bar on",
                          fixed(100.0 * stack::LinearError::noticeable, 0), bar(*linear.from_pressure))
            : fmt::format("Linear plates are within {} % of the lift up to {} bar",
                          fixed(100.0 * stack::LinearError::noticeable, 0), bar(linear.end_pressure));
    if (fixed(result.curve->crack_pressure / 1e5, 3) != fixed(linear.crack_pressure / 1e5, 3))
        text += fmt::format(", would crack at {} bar", fixed(linear.crack_pressure / 1e5, 3));
    for (auto row = result.rows.rbegin(); row != result.rows.rend(); ++row) {
        if (!row->state || !row->linear_seat_lift || row->state->seat_lift <= 0.0) continue;
        text += fmt::format(", and lift {} mm instead of {} mm at {} bar", mm(*row->linear_seat_lift),
                            mm(row->state->seat_lift), bar(row->pressure));
        break;
    }
    return text + ".";
}

/// A column for a limit that some shim's strip states.
struct LimitColumn {
    std::string_view key;
    Share share;
    std::string_view meaning;
};

std::vector<LimitColumn> limit_columns(const stack::LiftCurve& curve) {
    std::vector<LimitColumn> columns;
    for (const LimitColumn& column :
         {LimitColumn{"peak_stress_of_yield", &stack::LiftPoint::of_yield,
                      "yield: its share of the strip's yield strength"},
          LimitColumn{"peak_stress_of_fatigue", &stack::LiftPoint::of_fatigue,
                      "fatigue: its share of what Soderberg's rule lets the strip bear for ever, bent from "
                      "rest and let go"}})
        if (share_of(curve.points.back(), column.share)) columns.push_back(column);
    return columns;
}

/// What the strip bears, as far as the file states it.
std::string stress_words(const stack::LiftCurve& curve) {
    const stack::LiftPoint& end = curve.points.back();
    std::string text;
    const auto where = [](const stack::StressLimit& limit) {
        return fmt::format("shim {} at Ø {}, {}", limit.peak.shim, trim_mm(2.0 * limit.peak.radius),
                           report::words(limit.peak.face));
    };
    if (curve.set)
        text = fmt::format(
            "A shim keeps a set from {} bar on: the von Mises stress reaches its yield strength in "
            "{}. ",
            bar(curve.set->pressure), where(*curve.set));
    else if (end.of_yield)
        text = fmt::format("No shim keeps a set up to {} bar. ", bar(end.pressure));
    if (curve.fatigue)
        text +=
            fmt::format("Life is endless only up to {} bar, and {} breaks first (Soderberg's rule, bent from "
                        "rest and let go).",
                        bar(curve.fatigue->pressure), where(*curve.fatigue));
    else if (end.of_fatigue)
        text += fmt::format("Life is endless up to {} bar (Soderberg's rule, bent from rest and let go).",
                            bar(end.pressure));
    if (text.empty())
        text =
            "The file states no yield strength or fatigue limit of the strip (material: yield, fatigue), so "
            "no pressure is given from which a shim keeps a set or breaks.";
    return text;
}

/// What the columns mean.
std::string columns_note(const study::LiftResult& result) {
    if (result.valve.stack.disc) return "lift: at the seat; edge: of the outer edge; seat: its force.";
    std::string text = "lift: at the seat; edge: of the outer edge; seat: its force; stress: the largest von "
                       "Mises stress on a face "
                       "of any shim";
    for (const LimitColumn& limit : limit_columns(*result.curve))
        text += fmt::format("; {}", limit.meaning);
    return text + ".";
}

/// The diameter of the largest stress stands in the table, as on a shim's bag.
std::string diameter(const LiftRowOf& of) {
    const Value radius = field_of(lift_fields(), "peak_stress_radius_m").value(of);
    const auto* value = std::get_if<double>(&radius);
    return value != nullptr ? trim_mm(2.0 * *value) : "-";
}

/// Heads as short as a page of all columns needs them.
Table::Column narrow_column(std::string_view key) {
    constexpr std::array<std::array<std::string_view, 2>, 6> short_heads{
        {{"seat_lift_m", "lift"},
         {"edge_lift_m", "edge"},
         {"seat_force_N", "seat"},
         {"peak_stress_Pa", "stress"},
         {"peak_stress_of_yield", "yield"},
         {"peak_stress_of_fatigue", "fatigue"}}};
    if (key == "peak_stress_shim") return {"shim", "no."};
    if (key == "peak_stress_radius_m") return {"at", "Ø mm"};
    Table::Column made = column(field_of(lift_fields(), key));
    for (const auto& [of, head] : short_heads)
        if (key == of) made.name = head;
    return made;
}

/// Why rows have no state, each reason once.
std::vector<std::string> unsolved_sentences(const study::LiftResult& result) {
    std::vector<std::pair<std::string, std::vector<std::string>>> reasons;
    for (const study::LiftRow& row : result.rows) {
        if (row.error.empty()) continue;
        auto found = std::find_if(reasons.begin(), reasons.end(),
                                  [&](const auto& reason) { return reason.first == row.error; });
        if (found == reasons.end()) found = reasons.insert(found, {row.error, {}});
        found->second.push_back(bar(row.pressure));
    }
    std::vector<std::string> said;
    for (const auto& [why, pressures] : reasons)
        said.push_back(fmt::format("No state at {} bar: {}.", listed(pressures), why));
    return said;
}

Table table_of(const study::LiftResult& result) {
    std::vector<std::string_view> keys{"pressure_Pa", "seat_lift_m"};
    if (result.valve.stack.windows > 0)
        keys.insert(keys.end(), {"seat_lift_mid_port_m", "seat_lift_mid_land_m"});
    else if (is_uneven(result))
        keys.insert(keys.end(), {"seat_lift_crest_m", "seat_lift_trough_m"});
    keys.push_back("edge_lift_m");
    if (result.valve.stack.floating) keys.push_back("float_lift_m");
    keys.insert(keys.end(), {"seat_force_N", "peak_stress_Pa", "peak_stress_shim", "peak_stress_radius_m"});
    if (!result.valve.stack.disc)
        for (const LimitColumn& limit : limit_columns(*result.curve))
            keys.push_back(limit.key);
    std::vector<Table::Column> columns;
    for (const std::string_view key : keys)
        columns.push_back(narrow_column(key));
    Table table(columns);
    for (const study::LiftRow& row : result.rows) {
        const LiftRowOf of{&row, &result.valve.stack};
        std::vector<std::string> cells;
        for (const std::string_view key : keys)
            cells.push_back(key == "peak_stress_radius_m" ? diameter(of)
                                                          : cell(field_of(lift_fields(), key), of));
        table.add(cells);
    }
    return table;
}

Table table_of(const std::vector<stack::WaveBranch>& branches) {
    std::vector<Table::Column> columns;
    for (const Field<stack::WaveBranch>& field : wave_branch_fields())
        columns.push_back(column(field));
    Table table(columns);
    for (const stack::WaveBranch& branch : branches) {
        std::vector<std::string> cells;
        for (const Field<stack::WaveBranch>& field : wave_branch_fields())
            cells.push_back(cell(field, branch));
        table.add(cells);
    }
    return table;
}

} // namespace

Json json(const study::LiftResult& result) {
    const stack::LiftCurve* curve = result.curve ? &*result.curve : nullptr;
    Json object;
    object["valve"] = result.name;
    object["theory"] = stack::name(result.theory);
    object["edge"] = words(result.valve.stack.edge);
    object["rests_on"] =
        result.valve.stack.floating ? Json(words(result.valve.stack.floating->rests_on)) : Json(nullptr);
    object["load_area_m2"] = curve != nullptr ? Json(curve->load_area) : Json(nullptr);
    object["jet_ratio"] =
        curve != nullptr ? Json(flow::jet_ratio(result.valve, curve->load_area)) : Json(nullptr);
    object["crack_pressure_Pa"] = curve != nullptr ? Json(curve->crack_pressure) : Json(nullptr);
    object["port_pattern"] = port_pattern(result.valve.stack);
    const auto of_ring = [&](std::optional<double> stack::RingCurve::*member) {
        return result.ring ? or_null(*result.ring.*member) : Json(nullptr);
    };
    object["shape"] = shape_name(result.shape == stack::Shape::as_it_bends);
    const std::optional<stack::UnevenCrack>& bent = result.uneven_crack;
    object["crack_pressure_mid_port_Pa"] =
        bent ? or_null(bent->mid_port) : of_ring(&stack::RingCurve::crack_mid_port);
    object["mid_land_shut_until_Pa"] =
        bent ? or_null(bent->mid_land) : of_ring(&stack::RingCurve::lies_down_until);
    object["windows_hold_until_Pa"] = of_ring(&stack::RingCurve::holds_until);
    object["waves_from_Pa"] = result.waves ? Json(result.waves->pressure) : Json(nullptr);
    object["waves"] = result.waves ? Json(result.waves->count) : Json(nullptr);
    object["opening_pressure_Pa"] = curve != nullptr ? or_null(curve->opening_pressure) : Json(nullptr);
    object["float_start_pressure_Pa"] =
        curve != nullptr ? or_null(curve->float_start_pressure) : Json(nullptr);
    const stack::LinearError* linear = result.linear_error ? &*result.linear_error : nullptr;
    object["linear_crack_pressure_Pa"] = linear != nullptr ? Json(linear->crack_pressure) : Json(nullptr);
    object["linear_off_from_Pa"] = linear != nullptr ? or_null(linear->from_pressure) : Json(nullptr);
    const auto limit = [&](const char* name, std::optional<stack::StressLimit> stack::LiftCurve::*member) {
        const bool known = curve != nullptr && curve->*member;
        object[fmt::format("{}_pressure_Pa", name)] =
            known ? Json((curve->*member)->pressure) : Json(nullptr);
        object[fmt::format("{}_shim", name)] = known ? Json((curve->*member)->peak.shim) : Json(nullptr);
    };
    limit("set", &stack::LiftCurve::set);
    limit("fatigue", &stack::LiftCurve::fatigue);
    object["end_pressure_Pa"] =
        curve != nullptr && !curve->points.empty() ? Json(curve->points.back().pressure) : Json(nullptr);
    object["end_reason"] = curve != nullptr ? or_null(curve->end_reason) : Json(nullptr);
    object["error"] = result.error.empty() ? Json(nullptr) : Json(result.error);
    refuse_non_finite(object);
    object["points"] = Json::array();
    for (const study::LiftRow& row : result.rows)
        object["points"].push_back(row_json(row, result.valve.stack));
    object["wave_branches"] = result.wave_branches ? Json::array() : Json(nullptr);
    for (const stack::WaveBranch& branch : result.wave_branches.value_or(std::vector<stack::WaveBranch>{})) {
        Json entry;
        add_fields(entry, wave_branch_fields(), branch);
        object["wave_branches"].push_back(entry);
    }
    object["events"] = Json::array();
    if (curve != nullptr)
        for (const stack::Event& event : curve->events)
            object["events"].push_back(event_json(event));
    return object;
}

std::string text(const study::LiftResult& result) {
    std::string out = result.name + "\n" + sketch(result.valve.stack) + "\n";
    if (!result.curve) {
        const std::string why = result.error.starts_with(stack::no_lift_curve) // said once
                                    ? result.error.substr(stack::no_lift_curve.size())
                                    : result.error;
        return out + wrapped("No lift curve: " + why, page_columns, "  ") + "\n";
    }

    const stack::LiftCurve& curve = *result.curve;
    // Of a shape that is not round the sentences below and the table tell.
    const bool tells_round = result.uneven_crack || is_uneven(result);
    std::string opens = fmt::format("{} at {}, lifts 0.02 mm at {}",
                                    tells_round ? "Round, under its mean load, the stack cracks" : "Cracks",
                                    pressure_or(curve.crack_pressure, ""),
                                    pressure_or(curve.opening_pressure, "more than the end of the curve"));
    if (result.valve.stack.floating)
        opens += fmt::format(", begins to float at {}",
                             pressure_or(curve.float_start_pressure, "more than the end of the curve"));
    out += wrapped(opens + ".", page_columns, "") + "\n";
    std::string basis = "Pressure is that on the zone under the face shim, without flow. ";
    if (result.valve.stack.disc) { // has neither theory nor inner edge
        basis += "The disc is rigid";
    } else {
        basis += fmt::format("Theory: {}; {}", stack::name(result.theory), words(result.valve.stack.edge));
        if (result.valve.stack.floating)
            basis += fmt::format(", rests on {}", words(result.valve.stack.floating->rests_on));
    }
    basis += fmt::format(
        ". Jet ratio {}: from {} on, a valve driven by pressure could snap between two states.",
        fixed(flow::jet_ratio(result.valve, curve.load_area), 2), fixed(flow::max_certain_jet_ratio, 2));
    out += wrapped(basis, page_columns, "") + "\n\n";
    out += table_of(result).text();
    for (const std::string& unsolved : unsolved_sentences(result))
        out += wrapped(unsolved, page_columns - 2, "  ") + "\n";
    if (const std::string note = columns_note(result); !note.empty())
        out += wrapped(note, page_columns - 2, "  ") + "\n";
    if (result.last_shape) out += "\n" + drawing(*result.last_shape, result.valve.stack);
    for (const std::string& words : ring_sentences(result))
        out += "\n" + wrapped(words, page_columns, "  ") + "\n";
    if (result.wave_branches && !result.wave_branches->empty())
        out += "\n" + table_of(*result.wave_branches).text();
    if (curve.end_reason)
        out += "\n" +
               wrapped(fmt::format("Where the curve ends: {}.", *curve.end_reason), page_columns, "  ") +
               "\n";
    if (!result.valve.stack.disc) out += "\n" + wrapped(stress_words(curve), page_columns, "  ") + "\n";
    if (result.linear_error) out += "\n" + wrapped(linear_words(result), page_columns, "  ") + "\n";
    if (!curve.events.empty()) {
        out += fmt::format("\nWhat happens as the pressure rises (shim 1 is the face shim{})\n",
                           is_uneven(result) ? "; of the round shape" : "");
        for (const stack::Event& event : curve.events)
            out += event_words(event);
    }
    return out;
}

} // namespace valve::report
