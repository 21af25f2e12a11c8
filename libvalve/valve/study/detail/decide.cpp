#include <valve/core/detail/parallel.hpp>
#include <valve/study/detail/sizes.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::study {

namespace {

constexpr std::size_t most_batch = 4;    // decided between two looks at whether it is enough
constexpr std::size_t most_nearest = 24; // for the nearest of those that fall short
constexpr double doubt = 2.0;            // how much more than seen the search may err
constexpr double as_sought = 0.01;       // noticeable steps by which a size need not be looked for again

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
        : m_of(of), m_found(found), m_sizes(of, found, singles, true) {}

    std::optional<Suggestion> settled() {
        if (!m_sizes.are_known() || !std::isfinite(m_sizes.left(m_sizes.start()))) return std::nullopt;
        note_error();
        const bool is_as_sought =
            m_search_error < as_sought && m_found.meets() == (m_sizes.left(m_sizes.start()) == 0.0);
        return m_sizes.judged(is_as_sought                          ? m_sizes.start()
                              : m_of.m_advice.goal.events().empty() ? best_near()
                                                                    : one_further());
    }

    std::size_t tried() const { return m_sizes.tried(); }
    double search_error() const { return m_search_error; }

private:
    /// How far off the search was of the goal's figures.
    void note_error() {
        const std::shared_ptr<Changed>& changed = m_sizes.changed(m_sizes.start());
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
        const int most_rounds = m_sizes.start().size() == 1 ? 6 : 2;
        std::vector<int> best = m_sizes.start();
        for (int round = 0; round < most_rounds; ++round) {
            std::vector<int> next = best;
            for (std::size_t i = 0; i < best.size(); ++i) {
                if (m_sizes.lever(i).shim) continue;
                const int outward = best[i] > 0 ? 1 : -1;
                const std::vector<int> less = moved(best, i, -outward);
                if (m_sizes.left(less) < m_sizes.left(next) ||
                    (m_sizes.left(less) == m_sizes.left(next) && next == best))
                    next = less;
                if (m_sizes.left(best) == 0.0) continue; // more of it cannot do better
                const std::vector<int> more = moved(best, i, outward);
                if (m_sizes.left(more) < m_sizes.left(next)) next = more;
            }
            if (next == best) break;
            best = next;
        }
        return best;
    }

    /// A ride costs much: one step more, where the search took fewer than it needs.
    std::vector<int> one_further() {
        const std::vector<int>& start = m_sizes.start();
        if (start.size() > 1 || m_sizes.lever(0).shim || !m_found.meets() || m_sizes.left(start) == 0.0)
            return start;
        const std::vector<int> more = moved(start, 0, start.front() > 0 ? 1 : -1);
        return m_sizes.left(more) < m_sizes.left(start) ? more : start;
    }

    const Candidates& m_of;
    const Suggestion& m_found;
    Sizes m_sizes;
    double m_search_error = 0.0;
};

std::vector<Suggestion> Candidates::decided(const std::vector<Suggestion>& list,
                                            const std::vector<Candidate>& singles, Advice& advice,
                                            double least) const {
    std::vector<Suggestion> waiting = list;
    if (m_options.is_for_one) put_for_one(waiting);
    std::vector<Suggestion> kept;
    double error = 0.0; // of what is reached
    std::size_t end = 0;
    for (std::size_t begin = 0; begin < waiting.size(); begin = end) {
        if (m_options.is_for_one && is_enough(kept, waiting[begin], error)) break;
        // Whoever stops it wants the best so far: some are told all the same.
        if (begin > 0 && is_stopped()) break;
        // The first that meets it is enough; of the others several are looked at in any case.
        const std::size_t batch = m_options.is_for_one && waiting[begin].meets() ? 1 : most_batch;
        end = std::min(begin + batch, waiting.size());
        std::vector<std::optional<Suggestion>> made(end - begin);
        std::vector<std::size_t> tried(end - begin, 0);
        std::vector<double> off(end - begin, 0.0);
        for_each_index(made.size(), [&](std::size_t i) {
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
