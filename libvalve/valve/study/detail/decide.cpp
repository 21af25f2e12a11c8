#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/study/detail/candidates.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <utility>

namespace valve::study {

namespace {

constexpr std::size_t most_batch = 4;   // decided between two looks at whether it is enough
constexpr std::size_t most_nearest = 4; // for the nearest of those that fall short
constexpr double doubt = 2.0;           // how much more than seen the search may err
constexpr double as_sought = 0.01;      // noticeable steps by which a size need not be looked for again

/// The lever that made a step; null where it is none of them.
const Lever* lever_of(const Step& step, const std::vector<Candidate>& singles) {
    const auto found = std::find_if(singles.begin(), singles.end(), [&](const Candidate& single) {
        const auto& shim = single.lever.shim;
        if (single.lever.key != step.key || shim.has_value() != step.shim.has_value()) return false;
        return !shim || (shim->shims == step.shim->shims && shim->change == step.shim->change);
    });
    return found == singles.end() ? nullptr : &found->lever;
}

/// For whoever asks for one: those that meet the goal without new or reworked parts, then the others that
/// meet it, each in their order, then the rest, the nearest first.
void put_for_one(std::vector<Suggestion>& list) {
    const auto place = [](const Suggestion& one) {
        return one.meets() ? (one.effort < Effort::parts ? 0 : 1) : 2;
    };
    std::stable_sort(list.begin(), list.end(), [&](const Suggestion& a, const Suggestion& b) {
        if (place(a) != place(b)) return place(a) < place(b);
        return place(a) == 2 && a.reached > b.reached;
    });
}

/// Whether, of a list in that order, `next` and what comes after it need not be looked at: one meets the
/// goal, or those that are nearest by the search are told, it having been off by `error` of the goal at most.
bool is_enough(const std::vector<Suggestion>& kept, const Suggestion& next, double error) {
    double reached = 0.0;
    for (const Suggestion& one : kept) {
        if (one.meets() && (one.effort < Effort::parts || next.effort == Effort::parts || !next.meets()))
            return true;
        reached = std::max(reached, one.reached);
    }
    if (kept.empty() || next.meets()) return false;
    return kept.size() >= most_nearest || next.reached < reached - doubt * error;
}

} // namespace

/// One suggestion, its sizes taken on from where the search left them, by the figures that are told.
class Candidates::Settling {
public:
    Settling(const Candidates& of, const Suggestion& found, const std::vector<Candidate>& singles)
        : m_of(of), m_found(found) {
        for (const Step& step : found.steps) {
            m_levers.push_back(lever_of(step, singles));
            m_start.push_back(step.steps);
        }
    }

    std::optional<Suggestion> settled() {
        if (std::count(m_levers.begin(), m_levers.end(), nullptr) > 0) return std::nullopt;
        if (!std::isfinite(left(m_start))) return std::nullopt;
        note_error();
        const bool is_as_sought = m_search_error < as_sought && m_found.meets() == (left(m_start) == 0.0);
        const std::vector<int> best = is_as_sought                          ? m_start
                                      : m_of.m_advice.goal.events().empty() ? best_near()
                                                                            : one_further();
        Steps steps;
        for (std::size_t i = 0; i < best.size(); ++i)
            steps.emplace_back(m_levers[i], best[i]);
        return m_of.judged(steps, nullptr, m_known.at(best).changed, true);
    }

    std::size_t tried() const { return m_known.size(); }
    double search_error() const { return m_search_error; }

private:
    /// Infinite where it cannot be built or solved.
    double left(const std::vector<int>& steps) {
        const auto [found, is_new] = m_known.try_emplace(steps, Trial{infinite, nullptr});
        if (!is_new) return found->second.shortfall;
        try {
            setup::Document document = m_of.m_document;
            for (std::size_t i = 0; i < steps.size(); ++i) {
                if (steps[i] == 0 || steps[i] < m_levers[i]->least || steps[i] > m_levers[i]->most)
                    return infinite;
                document = m_levers[i]->edited(document, steps[i]);
            }
            found->second = m_of.trial(document, true);
        } catch (const Error&) { // it cannot be built so
        }
        return found->second.shortfall;
    }

    /// How far off the search was of the goal's figures.
    void note_error() {
        const std::shared_ptr<Changed>& changed = m_known.at(m_start).changed;
        for (std::size_t k = 0; k < m_of.m_asked.size(); ++k) {
            const Target& target = m_of.m_advice.targets[k];
            const std::optional<LineError> told =
                error_of(target, evaluate(changed->evaluation, m_of.m_asked[k]), m_of.m_advice.at.top_speed);
            if (told)
                m_search_error =
                    std::max(m_search_error, std::abs(told->value - m_found.lines[k].value) / target.step);
        }
    }

    static std::vector<int> moved(std::vector<int> steps, std::size_t which, int by) {
        steps[which] += by;
        return steps;
    }

    /// Less of anything where that leaves no more, else more or less of it where that leaves less.
    std::vector<int> best_near() {
        const int most_rounds = m_start.size() == 1 ? 6 : 2;
        std::vector<int> best = m_start;
        for (int round = 0; round < most_rounds; ++round) {
            std::vector<int> next = best;
            for (std::size_t i = 0; i < best.size(); ++i) {
                if (m_levers[i]->shim) continue;
                const int outward = best[i] > 0 ? 1 : -1;
                const std::vector<int> less = moved(best, i, -outward);
                if (left(less) < left(next) || (left(less) == left(next) && next == best)) next = less;
                if (left(best) == 0.0) continue; // more of it cannot do better
                const std::vector<int> more = moved(best, i, outward);
                if (left(more) < left(next)) next = more;
            }
            if (next == best) break;
            best = next;
        }
        return best;
    }

    /// A ride costs much: one step more, where the search took fewer than it needs.
    std::vector<int> one_further() {
        if (m_start.size() > 1 || m_levers.front()->shim || !m_found.meets() || left(m_start) == 0.0)
            return m_start;
        const std::vector<int> more = moved(m_start, 0, m_start.front() > 0 ? 1 : -1);
        return left(more) < left(m_start) ? more : m_start;
    }

    static constexpr double infinite = std::numeric_limits<double>::infinity();

    const Candidates& m_of;
    const Suggestion& m_found;
    std::vector<const Lever*> m_levers;
    std::vector<int> m_start;
    std::map<std::vector<int>, Trial> m_known;
    double m_search_error = 0.0;
};

std::vector<Suggestion> Candidates::decided(const std::vector<Suggestion>& list,
                                            const std::vector<Candidate>& singles, Advice& advice,
                                            double least) const {
    std::vector<Suggestion> waiting = list;
    if (m_options.is_for_one) put_for_one(waiting);
    const std::size_t batch = m_options.is_for_one ? 1 : most_batch;
    std::vector<Suggestion> kept;
    double error = 0.0; // of what is reached
    for (std::size_t begin = 0; begin < waiting.size(); begin += batch) {
        if (m_options.is_for_one && is_enough(kept, waiting[begin], error)) break;
        // Whoever stops it wants the best so far: some are told all the same.
        if (begin > 0 && is_stopped()) break;
        const std::size_t end = std::min(begin + batch, waiting.size());
        std::vector<std::optional<Suggestion>> made(end - begin);
        std::vector<std::size_t> tried(end - begin, 0);
        std::vector<double> off(end - begin, 0.0);
        try_each_index(made.size(), [&](std::size_t i) {
            Settling settling(*this, waiting[begin + i], singles);
            made[i] = settling.settled();
            tried[i] = settling.tried();
            off[i] = settling.search_error();
            if (m_options.progress) m_options.progress(AdviseStage::deciding, begin + i, waiting.size());
        });
        for (std::size_t i = 0; i < made.size(); ++i) {
            advice.tried += tried[i];
            advice.largest_search_error = std::max(advice.largest_search_error, off[i]);
            if (!made[i]) continue;
            error = std::max(error, std::abs(made[i]->reached - waiting[begin + i].reached));
            if (made[i]->reached >= least) kept.push_back(*std::move(made[i]));
        }
    }
    return kept;
}

} // namespace valve::study
