#include <valve/core/units.hpp>
#include <valve/study/choose.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <utility>

namespace valve::study {

namespace {

using damper::Chosen;

bool holds(const std::vector<Chosen>& list, Chosen what) {
    return std::find(list.begin(), list.end(), what) != list.end();
}

void narrow(damper::Bounds& bounds, const std::vector<double>& stock) {
    if (stock.empty()) return;
    const auto [least, most] = std::minmax_element(stock.begin(), stock.end());
    if (!(*least > 0.0)) throw std::invalid_argument("choose_support: stock must be above zero");
    bounds = {*least, *most};
}

/// How far a choice misses the goal, what counts most first, in steps that can be told apart.
std::array<double, 3> miss(const damper::SupportGoal& goal, const damper::SupportGoal& reached) {
    const auto by = [](const std::optional<double>& asked, const std::optional<double>& got, double step) {
        return asked ? std::round(std::abs(*got - *asked) / step) : 0.0;
    };
    return {by(goal.sag, reached.sag, 1e-4), by(goal.end_force, reached.end_force, 1.0),
            by(goal.free_sag, reached.free_sag, 1e-4)};
}

/// Each of the stock as bounds, or `free` where there is no stock or nothing to choose.
std::vector<damper::Bounds> each(const std::vector<double>& stock, bool is_chosen, damper::Bounds free) {
    if (stock.empty() || !is_chosen) return {free};
    std::vector<damper::Bounds> list;
    for (const double value : stock)
        list.push_back({value, value});
    return list;
}

/// How a value is written.
struct Written {
    const char* unit;
    int decimals;
    double step; // the least of these [SI]
};
constexpr Written of_rate{"N/mm", 2, 10.0};
constexpr Written of_preload{"mm", 1, 1e-4};
constexpr Written of_oil{"ml", 0, 1e-6};

/// `value` [SI] as it is written, within `bounds`: these themselves where nothing round lies between them.
double as_written(double value, const Written& how, const damper::Bounds& bounds) {
    const auto round = [&](double si) { return rounded_to(si, how.decimals, how.unit); };
    double nearest = round(value);
    if (nearest > bounds.high) nearest = round(nearest - how.step);
    if (nearest < bounds.low) nearest = round(nearest + how.step);
    return nearest > bounds.high ? bounds.high : nearest < bounds.low ? bounds.low : nearest;
}

/// The same where the value is free, and as it is where it is one of `stock`.
double as_written(double value, const Written& how, const damper::Bounds& bounds,
                  const std::vector<double>& stock) {
    return stock.empty() ? as_written(value, how, bounds) : value;
}

} // namespace

SupportChoice choose_support(const damper::SetUp& setup, const damper::SupportGoal& goal,
                             const damper::Buildable& limits, const Stock& stock) {
    SupportChoice best{goal, limits, {}, stock};
    narrow(best.limits.rate, stock.rates);
    narrow(best.limits.oil, stock.fills);
    const damper::Choice free = damper::choose(setup, goal, best.limits);
    best.choice = free;
    const bool picks_rate = !stock.rates.empty() && holds(free.chosen, Chosen::rate);
    const bool picks_oil = !stock.fills.empty() && holds(free.chosen, Chosen::oil);
    if (!picks_rate && !picks_oil) return best;

    std::optional<damper::Choice> nearest;
    for (const damper::Bounds rate : each(stock.rates, picks_rate, best.limits.rate)) {
        for (const damper::Bounds oil : each(stock.fills, picks_oil, best.limits.oil)) {
            damper::Choice one = damper::choose(setup, goal, {rate, best.limits.preload, oil});
            if (!nearest || miss(goal, one.reached) < miss(goal, nearest->reached)) nearest = std::move(one);
        }
    }
    // One of a list is always at its limit; what counts is whether the list ends too early.
    const auto ends_too_early = [&](Chosen what, bool is_picked) {
        if (!is_picked) return;
        std::erase(nearest->at_limit, what);
        if (holds(free.at_limit, what)) nearest->at_limit.push_back(what);
    };
    ends_too_early(Chosen::rate, picks_rate);
    ends_too_early(Chosen::oil, picks_oil);
    best.choice = *std::move(nearest);
    return best;
}

setup::Document with_choice(const setup::Document& document, const SupportChoice& choice) {
    const damper::Support& support = choice.choice.setup.support.value();
    const std::vector<Chosen>& chosen = choice.choice.chosen;
    const damper::Buildable& limits = choice.limits;
    setup::Document edited = document;
    if (holds(chosen, Chosen::rate)) {
        edited = edited.with("support.spring.rate",
                             as_written(support.spring->rate, of_rate, limits.rate, choice.stock.rates));
        if (const auto& second = support.spring->second)
            edited = edited.with("support.spring.second.rate",
                                 rounded_to(second->rate, of_rate.decimals, of_rate.unit));
    }
    if (holds(chosen, Chosen::preload))
        edited = edited.with("support.spring.preload",
                             as_written(support.spring->preload, of_preload, limits.preload));
    if (holds(chosen, Chosen::oil))
        edited = edited.without("support.leg.level")
                     .with("support.leg.oil",
                           as_written(support.leg->oil_volume, of_oil, limits.oil, choice.stock.fills));
    return edited;
}

} // namespace valve::study
