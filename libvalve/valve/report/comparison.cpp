#include <valve/report/assumptions.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/key_words.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/unevenness.hpp>
#include <valve/report/warning_words.hpp>
#include <valve/study/counts_in.hpp>

#include <array>
#include <optional>
#include <string_view>

namespace valve::report {

namespace {

using study::Change;
using study::Comparison;

/// File, speed, travel and event that a figure is asked at.
Json place_json(const std::string& file, const study::FigureRequest& figure) {
    Json object;
    object["file"] = file;
    object.update(place(figure));
    return object;
}

std::string_view name(study::Cause cause) {
    constexpr std::array<std::string_view, 5> names{"one_key", "together", "cancelling", "overlapping",
                                                    "unclear"};
    return names.at(static_cast<std::size_t>(cause));
}

std::string_view counts_in_name(const setup::Difference& difference) {
    constexpr std::array<std::string_view, 3> names{"all", "time", "rides"};
    return names.at(static_cast<std::size_t>(study::counts_in(difference)));
}

Json change_json(const std::string& file, const Change& change) {
    Json entry = place_json(file, change.to.request());
    entry["from"] = or_null(change.from.value);
    entry["to"] = or_null(change.to.value);
    entry["because"] = because_words(change);
    entry["noticeable_steps"] = change.noticed;
    entry["undone"] = Json::array();
    for (const study::Share& share : change.shares) {
        Json undone;
        undone["key"] = share.key;
        undone["value"] = or_null(share.value);
        undone["share"] = or_null(share.undone);
        undone["share_alone"] = or_null(share.applied);
        undone["effect"] = or_null(share.effect);
        entry["undone"].push_back(undone);
    }
    entry["cause"] = name(change.cause);
    entry["because_keys"] = change.because;
    return entry;
}

Json entry_json(const Comparison::Entry& entry) {
    Json setup;
    setup["title"] = entry.reading.title;
    setup["file"] = entry.file;
    setup["note"] = entry.reading.note;
    setup["travel_m"] = entry.headline.travel;
    setup["figures"] = json(entry.headline);
    const std::optional<study::ValvesInTime>& rides = entry.headline.ride_valves;
    setup["ride_valves"] = rides ? Json(motion::name(rides->kind)) : Json(nullptr);
    const std::optional<study::ValvesInTime>& cycles = entry.headline.cycle_valves;
    setup["cycle_valves"] = cycles ? Json(motion::name(cycles->kind)) : Json(nullptr);
    setup["swinging_Hz"] = entry.headline.swinging;
    setup["measured"] = entry.measured ? json(*entry.measured) : Json(nullptr);
    setup["warnings"] = entry.reading.warnings;
    for (const std::string& warning : sentences(entry.warnings))
        setup["warnings"].push_back(warning);
    setup["warned"] = values(entry.warnings);
    setup["not_round"] = json(entry.not_round);
    return setup;
}

} // namespace

Json points(const Comparison& comparison) {
    Json rows = Json::array();
    for (const Comparison::Entry& entry : comparison.setups)
        for (const Json& figure : entry.measured ? points(*entry.measured) : json(entry.headline)) {
            Json row;
            row["file"] = entry.file;
            row.update(figure);
            rows.push_back(row);
        }
    return rows;
}

Json json(const Comparison& comparison) {
    const study::Headline& first = comparison.setups.front().headline;
    Json object;
    object["theory"] = stack::name(first.theory);
    object["shape"] = shape_name(first.bends);
    object["top_speed_m_s"] = first.top_speed;
    object["setups"] = Json::array();
    for (const Comparison::Entry& entry : comparison.setups)
        object["setups"].push_back(entry_json(entry));
    for (const char* list : {"changes", "changed_keys", "unchanged", "balanced"})
        object[list] = Json::array();
    for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
        const study::Variant& variant = comparison.variants[i];
        const std::string& file = comparison.setups.at(i + 1).file;
        for (std::size_t k = 0; k < variant.differences.size(); ++k) {
            const setup::Difference& difference = variant.differences[k];
            object["changed_keys"].push_back({{"file", file},
                                              {"key", difference.key},
                                              {"from", or_null(difference.from)},
                                              {"to", or_null(difference.to)},
                                              {"words", key_words(difference.key)},
                                              {"step", step_words(variant.told.at(k))},
                                              {"counts_in", counts_in_name(difference)}});
        }
        for (const Change& change : variant.changes)
            object["changes"].push_back(change_json(file, change));
        for (const study::Figure& figure : variant.unchanged)
            object["unchanged"].push_back(place_json(file, figure.request()));
        for (const Change& change : variant.balanced)
            object["balanced"].push_back(change_json(file, change));
    }
    object["cautions"] = cautions(comparison);
    object["rule"] = rule_of_causes();
    object["rule_of_order"] = rule_of_order();
    object["rule_of_cycles"] = cycles(comparison) ? Json(rule_of_cycles()) : Json(nullptr);
    object["rule_of_rides"] = rides(comparison) ? Json(rule_of_rides()) : Json(nullptr);
    object["hit_J"] = or_null(first.hit);
    object["heavy_load_N"] = or_null(first.heavy_load);
    return object;
}

} // namespace valve::report
