#include <valve/core/detail/parallel.hpp>
#include <valve/study/detail/sizes.hpp>

#include <algorithm>

namespace valve::study {

namespace {

constexpr int most_rounds = 12;  // of one pair; few take more than three
constexpr double as_much = 1e-9; // of the shortfall, within rounding

/// All sizes a step of one lever or of both away.
std::vector<std::vector<int>> around(const std::vector<int>& here) {
    std::vector<std::vector<int>> list;
    for (const int a : {0, 1, -1})
        for (const int b : {0, 1, -1})
            if (a != 0 || b != 0) list.push_back({here[0] + a, here[1] + b});
    return list;
}

} // namespace

/// A pair, its sizes taken on by single steps until none of those around leaves less of the goal, and none
/// that leaves as little is worth more.
class Candidates::Polishing {
public:
    Polishing(const Candidates& of, const Suggestion& found, const std::vector<Candidate>& singles)
        : m_of(of), m_found(found), m_sizes(of, found, singles, false) {}

    Suggestion polished() {
        if (!m_sizes.are_known()) return m_found;
        std::vector<int> here = m_sizes.start();
        Suggestion best = m_found;
        for (int round = 0; round < most_rounds && !m_of.is_stopped(); ++round) {
            const std::vector<int> nearer = nearest_around(here);
            if (nearer != here) {
                std::optional<Suggestion> judged = m_sizes.judged(nearer);
                if (!judged) break;
                best = *std::move(judged);
                here = nearer;
                continue;
            }
            const std::vector<int> before = here;
            for (const std::vector<int>& next : around(before)) {
                if (m_sizes.left(next) > m_sizes.left(before) * (1.0 + as_much)) continue;
                std::optional<Suggestion> judged = m_sizes.judged(next);
                ++m_judged;
                if (!judged || judged->worth <= best.worth) continue;
                best = *std::move(judged);
                here = next;
            }
            if (here == before) break;
        }
        return best;
    }

    std::size_t tried() const { return m_sizes.tried() + m_judged; }

private:
    std::vector<int> nearest_around(const std::vector<int>& here) {
        std::vector<int> best = here;
        for (const std::vector<int>& next : around(here))
            if (m_sizes.left(next) < m_sizes.left(best) * (1.0 - as_much)) best = next;
        return best;
    }

    const Candidates& m_of;
    const Suggestion& m_found;
    Sizes m_sizes;
    std::size_t m_judged = 0;
};

void Candidates::polish(std::vector<Suggestion>& pairs, std::size_t first,
                        const std::vector<Candidate>& singles, std::size_t& tried) const {
    std::vector<std::size_t> counts(std::min(first, pairs.size()), 0);
    for_each_index(counts.size(), [&](std::size_t i) {
        Polishing polishing(*this, pairs[i], singles);
        Suggestion polished = polishing.polished();
        counts[i] = polishing.tried();
        pairs[i] = std::move(polished);
    });
    for (const std::size_t count : counts)
        tried += count;
}

} // namespace valve::study
