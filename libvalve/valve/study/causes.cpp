#include <valve/study/causes.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::study {

namespace {

double part(const Share& share, std::optional<double> Share::*of) {
    return (share.*of).value_or(0.0);
}

template <class Belongs>
std::vector<std::string> keys_of(const std::vector<Share>& shares, const Belongs& belongs) {
    std::vector<std::string> keys;
    for (const Share& share : shares)
        if (belongs(share)) keys.push_back(share.key);
    return keys;
}

void find_causes(Change& change) {
    const std::vector<Share>& shares = change.shares;
    const auto contributes = [](std::optional<double> Share::*of) {
        return [of](const Share& share) { return part(share, of) >= least_part; };
    };
    const auto less = [](const Share& a, const Share& b) {
        return part(a, &Share::undone) < part(b, &Share::undone);
    };
    const auto leading = std::max_element(shares.begin(), shares.end(), less);
    const auto against = std::min_element(shares.begin(), shares.end(), less);
    const bool leads = leading != shares.end() && part(*leading, &Share::undone) > leading_part;
    if (leads && part(*against, &Share::undone) <= -leading_part) {
        const double most = std::max(part(*leading, &Share::undone), -part(*against, &Share::undone));
        change.cause = Cause::cancelling;
        change.because = keys_of(shares, [&](const Share& share) {
            return std::abs(part(share, &Share::undone)) >= least_part * most;
        });
        return;
    }
    const auto leaders = std::count_if(shares.begin(), shares.end(), [](const Share& share) {
        return part(share, &Share::undone) > leading_part;
    });
    if (leaders == 1) { // of two that each take back more than half, neither is the cause
        change.cause = Cause::one_key;
        change.because = {leading->key};
        return;
    }
    change.cause = Cause::together;
    change.because = keys_of(shares, contributes(&Share::undone));
    if (change.because.size() >= 2) return;
    change.cause = Cause::overlapping;
    change.because = keys_of(shares, contributes(&Share::applied));
    if (!change.because.empty()) return;
    change.cause = Cause::unclear;
    change.because = keys_of(shares, [](const Share&) { return true; });
}

/// The step from `from` to `to` [SI]; none where a figure is unsolved.
std::optional<double> step(const Figure& from, const Figure& to, double top_speed) {
    if (!from.error.empty() || !to.error.empty()) return std::nullopt;
    return number(to, top_speed) - number(from, top_speed);
}

/// As a part of the `whole` change; none where an onset at the very top speed was lost.
std::optional<double> of_whole(const std::optional<double>& step, double whole) {
    return step && whole != 0.0 ? std::optional(*step / whole) : std::nullopt;
}

/// The shares of every key, without a cause yet.
Change measured(const Headline& from, const Headline& to, std::size_t index,
                const std::vector<Trial>& trials) {
    Change change{from.figures[index], to.figures.at(index)};
    const double top_speed = from.top_speed;
    const double whole = number(change.to, top_speed) - number(change.from, top_speed);
    for (const Trial& trial : trials) {
        Share share{trial.key, std::nullopt, std::nullopt, std::nullopt};
        if (trial.undone) {
            const Figure& figure = trial.undone->figures.at(index);
            share.value = figure.value;
            share.effect = step(figure, change.to, top_speed);
            share.undone = of_whole(share.effect, whole);
        }
        if (trial.applied)
            share.applied = of_whole(step(change.from, trial.applied->figures.at(index), top_speed), whole);
        change.shares.push_back(share);
    }
    change.noticed = std::abs(whole) / noticeable_step(change.from.quantity, number(change.from, top_speed));
    return change;
}

/// Makes `change` one of effects that cancel; false where there are not two that a rider would notice.
bool cancels(Change& change, double top_speed) {
    const double noticed = noticeable_step(change.from.quantity, number(change.from, top_speed));
    const auto has = [&](double sign) {
        return std::any_of(change.shares.begin(), change.shares.end(), [&](const Share& share) {
            return share.effect && sign * *share.effect >= noticed;
        });
    };
    if (!has(1.0) || !has(-1.0)) return false;
    change.cause = Cause::cancelling;
    change.because = keys_of(change.shares, [&](const Share& share) {
        return share.effect && std::abs(*share.effect) >= noticed;
    });
    return true;
}

} // namespace

bool alike(const Figure& from, const Figure& to, double top_speed) {
    if (from.value.has_value() != to.value.has_value()) return false;
    const double a = number(from, top_speed);
    const double b = number(to, top_speed);
    return std::abs(a - b) <=
           std::max(alike_share * std::abs(a), scale(kind_of(from.quantity).measure).smallest);
}

Variant attribute(const Headline& from, const Headline& to, std::vector<setup::Difference> differences,
                  const std::vector<Trial>& trials) {
    Variant variant{std::move(differences), {}, {}};
    variant.told = variant.differences;
    for (std::size_t i = 0; i < from.figures.size(); ++i) {
        if (!from.figures[i].error.empty() || !to.figures.at(i).error.empty()) continue;
        Change change = measured(from, to, i, trials);
        if (alike(change.from, change.to, from.top_speed)) {
            variant.unchanged.push_back(change.to);
            const double most = variant.largest_unchanged ? variant.largest_unchanged->noticed : 0.0;
            if (change.noticed > most) variant.largest_unchanged = change;
            if (cancels(change, from.top_speed)) variant.balanced.push_back(std::move(change));
        } else {
            find_causes(change);
            variant.changes.push_back(std::move(change));
        }
    }
    std::stable_sort(variant.changes.begin(), variant.changes.end(),
                     [](const Change& a, const Change& b) { return a.noticed > b.noticed; });
    return variant;
}

} // namespace valve::study
