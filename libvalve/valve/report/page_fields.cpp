#include <valve/report/advice_fields.hpp>
#include <valve/report/curve_fields.hpp>
#include <valve/report/lift_fields.hpp>
#include <valve/report/page_fields.hpp>
#include <valve/report/search.hpp>
#include <valve/study/figure.hpp>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

Magnitude magnitude_of(study::Measure measure) {
    switch (measure) {
    case study::Measure::speed:
        return Magnitude::speed;
    case study::Measure::pressure:
        return Magnitude::pressure;
    case study::Measure::force:
        return Magnitude::force;
    case study::Measure::length:
    case study::Measure::short_length:
        return Magnitude::length;
    case study::Measure::energy:
        return Magnitude::energy;
    case study::Measure::volume:
        return Magnitude::volume;
    case study::Measure::acceleration:
        return Magnitude::acceleration;
    case study::Measure::share:
        return Magnitude::share;
    case study::Measure::warming:
        return Magnitude::warming;
    }
    return Magnitude::count;
}

Json figure_fields() {
    Json object = Json::object();
    for (const study::FigureKind& kind : study::figure_kinds()) {
        object[kind.key] = described(FieldWords{kind.key, kind.words, kind.words, magnitude_of(kind.measure),
                                                study::scale(kind.measure).digits});
        object[kind.key]["missing"] = !kind.if_none.empty() ? kind.if_none : kind.is_onset ? "none" : "–";
    }
    return object;
}

/// `object` with those of its members that are among `keys`.
template <std::size_t Count>
Json kept(const Json& object, const std::array<std::string_view, Count>& keys) {
    Json rest = Json::object();
    for (const auto& [key, value] : object.items())
        if (std::find(keys.begin(), keys.end(), key) != keys.end()) rest[key] = value;
    return rest;
}

template <std::size_t Count>
void keep_in_rows(Json& rows, const std::array<std::string_view, Count>& keys) {
    for (Json& row : rows)
        row = kept(row, keys);
}

/// A family's points, of which only the forces are drawn.
void thin_family(Json& family) {
    if (family.is_null()) return;
    family["defaults"] = nullptr;
    constexpr std::array<std::string_view, 4> keys{"speed_m_s", "damping_force_N", "cavitated", "error"};
    for (Json& member : family.at("family"))
        keep_in_rows(member.at("points"), keys);
}

void thin_lift(Json& valve) {
    constexpr std::array<std::string_view, 12> keys{
        "pressure_Pa",       "seat_lift_m",          "seat_lift_mid_port_m",   "seat_lift_mid_land_m",
        "seat_lift_crest_m", "seat_lift_trough_m",   "linear_seat_lift_m",     "float_lift_m",
        "peak_stress_Pa",    "peak_stress_of_yield", "peak_stress_of_fatigue", "error"};
    keep_in_rows(valve.at("points"), keys);
}

/// Of advice what is shown: not the lever's side of a change, nor each figure that it moves.
void thin_advice(Json& advice) {
    const auto thin = [](Json& one) {
        if (one.is_null()) return;
        Json left;
        for (const FieldWords& field : suggestion_fields())
            left[field.key] = one.at(field.key);
        for (const char* key : {"gives", "also"})
            left[key] = one.at(key);
        one = std::move(left);
    };
    for (const char* list : {"changes", "pairs", "beside"})
        for (Json& one : advice.at(list))
            thin(one);
    thin(advice.at("nearest"));
    constexpr std::array<std::string_view, 1> of_lines{"words"};
    keep_in_rows(advice.at("lines"), of_lines);
}

/// Of a comparison what is tabled: causes are told in words.
void thin_comparison(Json& comparison) {
    constexpr std::array<std::string_view, 10> keys{
        "file",  "quantity", "speed_m_s", "travel_share", "frequency_Hz",
        "event", "from",     "to",        "because",      "noticeable_steps"};
    keep_in_rows(comparison.at("changes"), keys);
    comparison.at("balanced") = Json::array();
}

} // namespace

Json page_fields() {
    Json curve = described(steady_fields());
    curve.update(described(through_fields()));
    Json object;
    object["curve"] = curve;
    object["onset"] = described(onset_fields());
    object["ports"] = described(port_fields());
    object["measured"] = described(deviation_fields());
    object["lift"] = described(lift_fields());
    object["figures"] = figure_fields();
    object["suggestion"] = described(suggestion_fields());
    object["search_answer"] = described(search_answer_fields());
    return object;
}

Json drawn(const Json& page) {
    Json thin = page;
    if (Json& advice = thin.at("advice"); !advice.is_null()) thin_advice(advice);
    if (Json& search = thin.at("search"); !search.is_null()) {
        constexpr std::array<std::string_view, 5> keys{"error_steps", "changed_shims", "swapped_parts",
                                                       "changed_springs", "words"};
        search.at("today") = kept(search.at("today"), keys);
        for (const char* list : {"stacks", "by_changed"})
            keep_in_rows(search.at(list), keys);
    }
    if (Json& comparison = thin.at("comparison"); !comparison.is_null()) thin_comparison(comparison);
    for (Json& setup : thin.at("setups")) {
        constexpr std::array<std::string_view, 7> of_inspection{"title",     "file",     "layout",  "note",
                                                                "adjusters", "defaults", "warnings"};
        setup.at("inspect") = kept(setup.at("inspect"), of_inspection);
        if (!setup.at("support").is_null()) setup.at("support")["defaults"] = nullptr; // those of "inspect"
        for (Json& family : setup.at("families"))
            thin_family(family);
        thin_family(setup.at("fade"));
        thin_family(setup.at("wear"));
        if (!setup.at("curve").is_null()) setup.at("curve")["defaults"] = nullptr;
        if (Json& map = setup.at("map"); !map.is_null()) {
            map = kept(map, std::array<std::string_view, 2>{"map", "sentences"});
            map.at("map") = kept(map.at("map"), std::array<std::string_view, 1>{"void_onset"});
        }
        Json& lift = setup.at("lift");
        if (lift.contains("valves"))
            for (Json& valve : lift.at("valves"))
                thin_lift(valve);
        else
            thin_lift(lift);
    }
    return thin;
}

} // namespace valve::report
