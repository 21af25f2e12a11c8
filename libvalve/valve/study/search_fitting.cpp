#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/units.hpp>
#include <valve/stack/spec.hpp>
#include <valve/study/adjusters.hpp>
#include <valve/study/search_question.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

namespace valve::study {

namespace {

constexpr double same_length = 1e-9;        // [m]
constexpr double same_rate = 1e-6;          // of the other [-]
constexpr std::size_t most_fittings = 2000; // of one float
constexpr double turn_step = 0.25;          // as advice turns (common practice, no source)

/// Force of another coil, as long as the one that is there and as far compressed [N].
double preload_with(double rate, double present_preload, double present_rate) {
    return rounded(present_preload * rate / present_rate, 4, "N");
}

/// What the file writes at `key` [SI].
std::optional<double> number_at(const setup::Document& document, const std::string& key) {
    const std::optional<setup::Value> value = document.get(key);
    return value && value->is_written ? value->number : std::nullopt;
}

} // namespace

/// What the coil's adjuster at `place` may be turned to, the present setting first; empty where it stays.
std::vector<double> SearchQuestion::turns_of(damper::Place place) const {
    const std::string name(damper::name(place));
    for (const Adjuster& adjuster : adjusters(m_reading)) {
        const bool is_here = adjuster.name == name || adjuster.name == name + ".float";
        if (adjuster.steps != "turns" || !is_here ||
            std::find(m_options.adjusters.begin(), m_options.adjusters.end(), adjuster.name) ==
                m_options.adjusters.end())
            continue;
        std::vector<double> turns{adjuster.setting};
        const int most = static_cast<int>(std::floor(adjuster.range / turn_step + 1e-9));
        for (int step = 0; step <= most; ++step)
            if (std::abs(step * turn_step - adjuster.setting) > 1e-9) turns.push_back(step * turn_step);
        return turns;
    }
    return {};
}

/// Valves that keep their shims, and whose coil may be turned.
void SearchQuestion::add_turned_alone() {
    for (const damper::Place place : damper::all_places) {
        if (std::find(m_options.places.begin(), m_options.places.end(), place) != m_options.places.end())
            continue;
        const std::vector<double> turns = turns_of(place);
        if (turns.empty()) continue;
        SearchValve made;
        made.place = place;
        made.key = fmt::format("valves.{}", damper::name(place));
        add_fittings(made, {}, turns);
        m_valves.push_back(std::move(made));
    }
}

void SearchQuestion::add_fittings(SearchValve& made, const setup::Drawer& drawer,
                                  const std::vector<double>& turns) const {
    const stack::Stack& stack = unit().valves[made.place]->stack;
    if (!stack.floating || !m_reading.written) return;
    const setup::Document& document = *m_reading.written;
    made.preload = number_at(document, made.key + ".float.preload").value_or(0.0);
    made.sleeve = number_at(document, made.key + ".float.sleeve");
    made.sleeve_is_written = made.sleeve.has_value();
    if (!made.sleeve && made.family && !drawer.sleeves.empty())
        made.sleeve = rounded(stack.floating->travel + height_of(stack.shims), 9, "mm");

    std::vector<std::optional<double>> sleeves{std::nullopt};
    if (made.sleeve)
        for (const double other : drawer.sleeves)
            if (std::abs(other - *made.sleeve) > same_length) sleeves.emplace_back(other);
    std::vector<std::optional<double>> coils{std::nullopt};
    const double rate = stack.floating->spring_rate;
    if (rate > 0.0)
        for (const double other : drawer.coils)
            if (std::abs(other - rate) > same_rate * rate) coils.emplace_back(other);
    std::vector<std::optional<double>> settings{std::nullopt};
    if (!turns.empty()) settings.insert(settings.end(), turns.begin() + 1, turns.end());

    if (sleeves.size() * coils.size() * settings.size() > most_fittings)
        throw InputError(fmt::format("{}: sleeves, coils and turns make more than {} floats together; give "
                                     "fewer",
                                     made.key, most_fittings));
    made.fittings.clear();
    for (const std::optional<double>& sleeve : sleeves)
        for (const std::optional<double>& coil : coils)
            for (const std::optional<double>& turn : settings)
                made.fittings.push_back({sleeve, coil, turn});
}

/// Gives `made`, whose shims lie already, its float; false where no travel is left. As reading the file has
/// it, to the last digit.
bool SearchQuestion::fit(flow::Valve& made, const SearchValve& searched, const SearchFitting& fitting,
                         bool is_as_it_lies) const {
    if (!made.stack.floating) return true;
    stack::Float& floating = *made.stack.floating;
    if (searched.sleeve && !(is_as_it_lies && !fitting.sleeve)) {
        floating.travel = fitting.sleeve.value_or(*searched.sleeve) - height_of(made.stack.shims);
        if (!(floating.travel > 0.0)) return false;
    }
    if (!fitting.coil && !fitting.turns) return true;
    floating.preload = searched.preload;
    if (fitting.coil) {
        floating.preload = preload_with(*fitting.coil, searched.preload, floating.spring_rate);
        floating.spring_rate = *fitting.coil;
    }
    if (floating.adjuster) {
        floating.adjuster->turns = fitting.turns.value_or(floating.adjuster->turns);
        const double turned_in = floating.adjuster->range - floating.adjuster->turns;
        floating.preload = floating.preload + floating.spring_rate * floating.adjuster->per_turn * turned_in;
    }
    return true;
}

setup::Document SearchQuestion::fitted(setup::Document document, const SearchValve& valve,
                                       const SearchFitting& fitting, bool is_as_it_lies) const {
    const std::string floated = valve.key + ".float";
    if (fitting.sleeve) {
        document = document.without(floated + ".travel").with(floated + ".sleeve", *fitting.sleeve);
    } else if (valve.sleeve && !valve.sleeve_is_written && !is_as_it_lies) {
        document = document.without(floated + ".travel").with(floated + ".sleeve", *valve.sleeve);
    }
    if (fitting.coil) {
        const double rate = unit().valves[valve.place]->stack.floating->spring_rate;
        document = document.with(floated + ".rate", *fitting.coil);
        if (valve.preload > 0.0)
            document = document.with(floated + ".preload", preload_with(*fitting.coil, valve.preload, rate));
    }
    if (fitting.turns) document = document.with(floated + ".adjuster.turns", *fitting.turns);
    return document;
}

int SearchQuestion::swapped(const SearchCandidate& candidate) const {
    return apart(present(), candidate) - changed(candidate);
}

int SearchQuestion::apart(const SearchCandidate& a, const SearchCandidate& b) const {
    int sum = 0;
    for (std::size_t v = 0; v < m_valves.size(); ++v) {
        const SearchFitting& of_a = m_valves[v].fittings[a.fittings[v]];
        const SearchFitting& of_b = m_valves[v].fittings[b.fittings[v]];
        sum += changed_shims(a.piles[v], b.piles[v]) + (of_a.sleeve != of_b.sleeve ? 1 : 0) +
               (of_a.coil != of_b.coil ? 1 : 0);
    }
    return sum;
}

bool SearchQuestion::has_parts_for(const SearchCandidate& candidate) const {
    const auto fitting = [&](std::size_t v) { return m_valves[v].fittings[candidate.fittings[v]]; };
    for (std::size_t v = 1; v < candidate.fittings.size(); ++v)
        for (std::size_t before = 0; before < v; ++before) {
            const SearchFitting one = fitting(before);
            const SearchFitting other = fitting(v);
            if ((one.sleeve && one.sleeve == other.sleeve) || (one.coil && one.coil == other.coil))
                return false;
        }
    return true;
}

} // namespace valve::study
