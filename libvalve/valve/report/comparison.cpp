#include <valve/report/comparison.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/warning_words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::report {

namespace {

constexpr double relative_threshold = 0.01;

double number(const Figure& figure, double top_speed) {
    return figure.value.value_or(top_speed);
}

double weight(const Share& share, std::optional<double> Share::*part) {
    return (share.*part).value_or(0.0);
}

/// Keys whose part is at least a tenth.
std::vector<std::string> contributors(const std::vector<Share>& shares, std::optional<double> Share::*part) {
    std::vector<std::string> keys;
    for (const Share& share : shares)
        if (weight(share, part) >= 0.1) keys.push_back(share.key);
    return keys;
}

void find_causes(Change& change) {
    const auto leading =
        std::max_element(change.shares.begin(), change.shares.end(), [](const Share& a, const Share& b) {
            return weight(a, &Share::undone) < weight(b, &Share::undone);
        });
    if (leading != change.shares.end() && weight(*leading, &Share::undone) > 0.5) {
        change.cause = Cause::one_key;
        change.because = {leading->key};
        return;
    }
    change.cause = Cause::together;
    change.because = contributors(change.shares, &Share::undone);
    if (change.because.size() >= 2) return;
    change.cause = Cause::overlapping;
    change.because = contributors(change.shares, &Share::applied);
    if (!change.because.empty()) return;
    change.cause = Cause::unclear;
    for (const Share& share : change.shares)
        change.because.push_back(share.key);
}

/// The step from `from` to `to` as a part of the `whole` change; none where a figure is unsolved, or where an
/// onset at the very top speed was lost.
std::optional<double> part_of_change(const Figure& from, const Figure& to, double whole, double top_speed) {
    if (!from.error.empty() || !to.error.empty() || whole == 0.0) return std::nullopt;
    return (number(to, top_speed) - number(from, top_speed)) / whole;
}

Change changed(const Headline& from, const Headline& to, std::size_t index,
               const std::vector<Trial>& trials) {
    Change change;
    change.from = from.figures[index];
    change.to = to.figures[index];
    const double top_speed = from.top_speed;
    const double whole = number(change.to, top_speed) - number(change.from, top_speed);
    for (const Trial& trial : trials) {
        Share share{trial.key, std::nullopt, std::nullopt, std::nullopt};
        if (trial.undone) {
            const Figure& figure = trial.undone->figures.at(index);
            share.value = figure.value;
            share.undone = part_of_change(figure, change.to, whole, top_speed);
        }
        if (trial.applied)
            share.applied = part_of_change(change.from, trial.applied->figures.at(index), whole, top_speed);
        change.shares.push_back(share);
    }
    change.noticed = std::abs(whole) / noticeable_step(change.from.quantity, number(change.from, top_speed));
    find_causes(change);
    return change;
}

} // namespace

std::string Change::because_words() const {
    if (because.size() == 1) return because.front();
    std::string text;
    for (const std::string& one : because)
        text += (text.empty() ? "together: " : ", ") + one;
    return text;
}

bool alike(const Figure& from, const Figure& to, double top_speed) {
    if (from.value.has_value() != to.value.has_value()) return false;
    const double a = number(from, top_speed);
    const double b = number(to, top_speed);
    return std::abs(a - b) <= std::max(relative_threshold * std::abs(a), smallest_step(from.quantity));
}

Variant attribute(const Headline& from, const Headline& to, std::vector<setup::Difference> differences,
                  const std::vector<Trial>& trials) {
    Variant variant{std::move(differences), {}, {}};
    for (std::size_t i = 0; i < from.figures.size(); ++i) {
        const Figure& before = from.figures[i];
        const Figure& after = to.figures.at(i);
        if (!before.error.empty() || !after.error.empty()) continue;
        if (alike(before, after, from.top_speed)) {
            variant.unchanged.push_back(after);
        } else {
            variant.changes.push_back(changed(from, to, i, trials));
        }
    }
    std::stable_sort(variant.changes.begin(), variant.changes.end(),
                     [](const Change& a, const Change& b) { return a.noticed > b.noticed; });
    return variant;
}

std::string_view rule_of_causes() {
    return "Each changed key is undone alone and the set-up solved again. The cause of a change is the key "
           "whose undoing takes the figure back the most, if that is more than half of the change; else "
           "\"together\" names the keys that take back a tenth of it or more. Where fewer than two do, since "
           "what one key did others do as well, it names the keys that, put into the reference alone, bring "
           "about a tenth of it or more, or else all changed keys. A speed that is not reached counts as the "
           "top speed.";
}

std::string_view rule_of_order() {
    return "The change that a rider notices most comes first, counted in noticeable steps: 0.1 m/s of an "
           "onset (0.2 near full extension), 0.1 bar, 5 % of a force (10 N at least) or of an energy (5 J at "
           "least), 2 mm of sag "
           "(common practice, no source).";
}

bool Comparison::failed() const {
    return std::any_of(setups.begin(), setups.end(), [](const Entry& entry) {
        return entry.headline.failed() || (entry.measured && entry.measured->failed());
    });
}

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
    Json object;
    object["theory"] = stack::name(comparison.setups.front().headline.theory);
    object["top_speed_m_s"] = comparison.setups.front().headline.top_speed;
    object["setups"] = Json::array();
    for (const Comparison::Entry& entry : comparison.setups) {
        Json setup;
        setup["title"] = entry.reading.title;
        setup["file"] = entry.file;
        setup["note"] = entry.reading.note;
        setup["travel_m"] = entry.headline.travel;
        setup["figures"] = json(entry.headline);
        setup["measured"] = entry.measured ? json(*entry.measured) : Json(nullptr);
        setup["warnings"] = entry.reading.warnings;
        for (const std::string& warning : sentences(entry.shim_warnings))
            setup["warnings"].push_back(warning);
        object["setups"].push_back(setup);
    }
    object["changes"] = Json::array();
    object["changed_keys"] = Json::array();
    object["unchanged"] = Json::array();
    for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
        const Variant& variant = comparison.variants[i];
        const std::string& file = comparison.setups.at(i + 1).file;
        for (const setup::Difference& difference : variant.differences) {
            Json key;
            key["file"] = file;
            key["key"] = difference.key;
            key["from"] = or_null(difference.from);
            key["to"] = or_null(difference.to);
            object["changed_keys"].push_back(key);
        }
        for (const Change& change : variant.changes) {
            Json entry;
            entry["file"] = file;
            entry["quantity"] = key(change.to.quantity);
            entry["speed_m_s"] = or_null(change.to.speed);
            entry["travel_share"] = or_null(change.to.travel_share);
            entry["from"] = or_null(change.from.value);
            entry["to"] = or_null(change.to.value);
            entry["because"] = change.because_words();
            entry["noticeable_steps"] = change.noticed;
            entry["undone"] = Json::array();
            for (const Share& share : change.shares) {
                Json undone;
                undone["key"] = share.key;
                undone["value"] = or_null(share.value);
                undone["share"] = or_null(share.undone);
                undone["share_alone"] = or_null(share.applied);
                entry["undone"].push_back(undone);
            }
            object["changes"].push_back(entry);
        }
        for (const Figure& figure : variant.unchanged) {
            Json entry;
            entry["file"] = file;
            entry["quantity"] = key(figure.quantity);
            entry["speed_m_s"] = or_null(figure.speed);
            entry["travel_share"] = or_null(figure.travel_share);
            object["unchanged"].push_back(entry);
        }
    }
    object["rule"] = rule_of_causes();
    object["rule_of_order"] = rule_of_order();
    return object;
}

} // namespace valve::report
