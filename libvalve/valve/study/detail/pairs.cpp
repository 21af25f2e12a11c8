#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/study/detail/sizes.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace valve::study {

namespace {

constexpr std::size_t most_shims = 6;  // shim changes that pairs are made of
constexpr std::size_t most_worth = 10; // pairs solved for what they are foretold to be worth
constexpr std::size_t most_near = 4;   // and for how near they are foretold to come
constexpr std::size_t most_ridden = 3; // of either, where each is a ride
constexpr int farthest = 16;           // steps that a slope is trusted for

bool holds(const std::vector<std::string>& keys, const std::string& key) {
    return std::find(keys.begin(), keys.end(), key) != keys.end();
}

/// Whether two changes can be made together: neither sets what the other does.
bool go_together(const Lever& a, const Lever& b) {
    const auto below = [](const std::string& key, const std::string& other) {
        return key.starts_with(other + ".");
    };
    return a.key != b.key && !below(a.key, b.key) && !below(b.key, a.key) && !holds(a.also, b.key) &&
           !holds(b.also, a.key);
}

/// The candidates that pairs are made of.
std::vector<const Candidate*> partners(const std::vector<Candidate>& singles) {
    std::vector<const Candidate*> list;
    std::vector<const Candidate*> shims;
    for (const Candidate& one : singles) {
        if (one.slopes.empty()) continue;
        (one.lever.shim ? shims : list).push_back(&one);
    }
    std::stable_sort(shims.begin(), shims.end(),
                     [](const Candidate* a, const Candidate* b) { return a->best->worth > b->best->worth; });
    shims.resize(std::min(shims.size(), most_shims));
    list.insert(list.end(), shims.begin(), shims.end());
    return list;
}

std::pair<int, int> range(const Candidate& one) {
    const int far = std::clamp(2 * std::abs(one.probe), 4, farthest);
    return {std::max(one.lever.least, -far), std::min(one.lever.most, far)};
}

struct Foretold {
    const Candidate* a = nullptr;
    const Candidate* b = nullptr;
    int of_a = 0;
    int of_b = 0;
    double reached = 0.0;
    double worth = 0.0;
};

} // namespace

/// What pairs would do if figures moved in proportion to steps.
class Candidates::Foretelling {
public:
    explicit Foretelling(const Candidates& of) : m_of(of), m_today(of.today_values()) {
        const std::size_t lines = of.m_asked.size();
        std::map<std::pair<Quantity, bool>, std::size_t> groups;
        for (std::size_t i = 0; i < of.m_watched.size(); ++i) {
            const FigureRequest& request = of.m_watched[i];
            const std::pair group{request.quantity, request.speed.value_or(0.0) < 0.0};
            const std::size_t index = groups.emplace(group, groups.size()).first->second;
            m_watched.push_back({lines + i, index, better_way(request.quantity),
                                 noticeable_step(request.quantity, m_today[lines + i])});
        }
        m_largest.resize(groups.size());
    }

    /// The sizes of a pair that would be worth most.
    Foretold best(const Candidate& a, const Candidate& b) {
        Foretold best{&a, &b};
        const auto [a_low, a_high] = range(a);
        const auto [b_low, b_high] = range(b);
        for (int of_a = a_low; of_a <= a_high; ++of_a) {
            for (int of_b = b_low; of_b <= b_high; ++of_b) {
                if (of_a == 0 || of_b == 0) continue;
                const double reached = m_of.reached(shortfall(a, b, of_a, of_b));
                if (reached <= best.worth) continue; // worth no more than it reaches
                const double worth = reached / std::max(1.0, side_steps(a, b, of_a, of_b));
                if (worth <= best.worth) continue;
                best.of_a = of_a;
                best.of_b = of_b;
                best.reached = reached;
                best.worth = worth;
            }
        }
        return best;
    }

private:
    struct Watched {
        std::size_t index; // among the values
        std::size_t group;
        int better;
        double step;
    };

    double moved(const Candidate& a, const Candidate& b, int of_a, int of_b, std::size_t i) const {
        return of_a * a.slopes[i] + of_b * b.slopes[i];
    }

    double shortfall(const Candidate& a, const Candidate& b, int of_a, int of_b) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < m_of.m_asked.size(); ++i) {
            const Target& target = m_of.m_advice.targets[i];
            const double value = target.line.direction * (m_today[i] + moved(a, b, of_a, of_b, i));
            sum += std::max({0.0, target.low - value, value - target.high}) / target.step;
        }
        return sum;
    }

    double side_steps(const Candidate& a, const Candidate& b, int of_a, int of_b) {
        std::fill(m_largest.begin(), m_largest.end(), 0.0);
        for (const Watched& one : m_watched) {
            const double steps = moved(a, b, of_a, of_b, one.index) / one.step;
            if (steps * one.better <= 0.0)
                m_largest[one.group] = std::max(m_largest[one.group], std::abs(steps));
        }
        double sum = 0.0;
        for (const double steps : m_largest)
            sum += steps;
        return sum;
    }

    const Candidates& m_of;
    std::vector<double> m_today;
    std::vector<Watched> m_watched;
    std::vector<double> m_largest; // by group
};

/// The pair at sizes from which one step more or less of either brings no more.
std::optional<Suggestion> Candidates::refined(const Candidate& a, const Candidate& b, int of_a, int of_b,
                                              std::size_t& tried) const {
    std::map<std::pair<int, int>, double> known;
    const auto left = [&](int steps_a, int steps_b) {
        const auto within = [](const Lever& lever, int steps) {
            return steps != 0 && steps >= lever.least && steps <= lever.most;
        };
        if (!within(a.lever, steps_a) || !within(b.lever, steps_b)) return infinity;
        const auto [found, is_new] = known.try_emplace({steps_a, steps_b}, infinity);
        if (!is_new) return found->second;
        try {
            found->second = trial(b.lever.edited(a.lever.edited(m_document, steps_a), steps_b)).shortfall;
        } catch (const Error&) { // it cannot be built so
        }
        return found->second;
    };
    constexpr std::array<std::pair<int, int>, 4> neighbours{{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}};
    const int most_rounds = m_advice.goal.events().empty() ? 4 : 1;
    for (int round = 0; round < most_rounds && left(of_a, of_b) > 0.0; ++round) {
        std::pair best{of_a, of_b};
        for (const auto& [more_a, more_b] : neighbours)
            if (left(of_a + more_a, of_b + more_b) < left(best.first, best.second))
                best = {of_a + more_a, of_b + more_b};
        if (best == std::pair{of_a, of_b}) break;
        std::tie(of_a, of_b) = best;
    }
    tried = known.size() + 1;
    return judged({{&a.lever, of_a}, {&b.lever, of_b}});
}

std::vector<Suggestion> Candidates::pairs(const std::vector<Candidate>& singles, std::size_t& tried) const {
    const std::vector<const Candidate*> list = partners(singles);
    std::vector<Foretold> foretold;
    Foretelling foretelling(*this);
    for (std::size_t i = 0; i < list.size(); ++i)
        for (std::size_t k = i + 1; k < list.size(); ++k)
            if (go_together(list[i]->lever, list[k]->lever))
                if (const Foretold pair = foretelling.best(*list[i], *list[k]); pair.worth > 0.0)
                    foretold.push_back(pair);
    // Those of most worth, and of the rest those that come nearest.
    std::stable_sort(foretold.begin(), foretold.end(),
                     [](const Foretold& a, const Foretold& b) { return a.worth > b.worth; });
    const bool is_ridden = !m_advice.goal.events().empty();
    const std::size_t of_worth = is_ridden ? most_ridden : most_worth;
    const std::size_t all = of_worth + (is_ridden ? most_ridden : most_near);
    const auto rest = foretold.begin() + static_cast<std::ptrdiff_t>(std::min(foretold.size(), of_worth));
    std::stable_sort(rest, foretold.end(),
                     [](const Foretold& a, const Foretold& b) { return a.reached > b.reached; });
    foretold.resize(std::min(foretold.size(), all));

    std::vector<std::optional<Suggestion>> made(foretold.size());
    std::vector<std::size_t> counts(foretold.size(), 0);
    for_each_index(foretold.size(), [&](std::size_t i) {
        const Foretold& pair = foretold[i];
        if (is_stopped()) return;
        made[i] = refined(*pair.a, *pair.b, pair.of_a, pair.of_b, counts[i]);
        if (m_options.progress) m_options.progress(AdviseStage::pairs, i, foretold.size());
    });

    std::vector<Suggestion> kept;
    for (std::size_t i = 0; i < made.size(); ++i) {
        tried += counts[i];
        if (!made[i] || made[i]->reached < least_reached) continue;
        double reached = 0.0;
        double worth = 0.0;
        bool beats_both = true;
        for (const Candidate* part : {foretold[i].a, foretold[i].b}) {
            if (!part->best) continue;
            beats_both = beats_both && beats(*made[i], *part->best);
            reached = std::max(reached, part->best->reached);
            worth = std::max(worth, part->best->worth);
        }
        if (beats_both && is_better(*made[i], reached, worth)) kept.push_back(*std::move(made[i]));
    }
    return kept;
}

bool beats(const Suggestion& pair, const Suggestion& alone) {
    constexpr double noticed = 1.0; // steps of side effect
    return pair.reached > alone.reached + least_reached || (pair.meets() && !alone.meets()) ||
           (pair.worth > alone.worth * (1.0 + equal_worth) &&
            pair.side_effect <= alone.side_effect - noticed);
}

std::vector<Suggestion> Candidates::that_need_both(const std::vector<Suggestion>& pairs,
                                                   const std::vector<Candidate>& singles,
                                                   std::size_t& tried) const {
    const bool told = m_advice.goal.events().empty();
    std::vector<char> needs(pairs.size(), 1);
    std::vector<std::size_t> counts(pairs.size(), 0);
    for_each_index(pairs.size(), [&](std::size_t i) {
        const Sizes sizes(*this, pairs[i], singles, told);
        if (!sizes.are_known()) return;
        const auto with = [&](const std::vector<std::size_t>& which) {
            Steps steps;
            for (const std::size_t k : which)
                steps.emplace_back(&sizes.lever(k), sizes.start()[k]);
            ++counts[i];
            return judged(steps, nullptr, nullptr, told);
        };
        const std::optional<Suggestion> both = told ? pairs[i] : with({0, 1});
        for (const std::size_t k : {std::size_t(0), std::size_t(1)}) {
            if (!both || needs[i] == 0) return;
            const std::optional<Suggestion> alone = with({k});
            if (alone && !beats(*both, *alone)) needs[i] = 0;
        }
    });
    std::vector<Suggestion> kept;
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        tried += counts[i];
        if (needs[i] != 0) kept.push_back(pairs[i]);
    }
    return kept;
}

} // namespace valve::study
