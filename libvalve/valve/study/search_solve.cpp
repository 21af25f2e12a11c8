#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/study/search.hpp>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <set>
#include <tuple>
#include <utility>
#include <vector>

namespace valve::study {

namespace {

constexpr std::size_t batch = 8;        // solved between two looks at whether it is enough
constexpr std::size_t most_solved = 96; // in full

/// Solved in full, from the file that it is.
SearchAnswer answer(const SearchQuestion& question, const Screened& screened) {
    SearchAnswer made{screened.candidate,
                      question.settings()[screened.setting],
                      {},
                      infinity,
                      screened.error,
                      screened.changed,
                      screened.swapped,
                      screened.opened,
                      screened.springs};
    try {
        const setup::Reading reading = setup::read(question.document(made.candidate, made.setting));
        Evaluation of(reading, question.options().at, question.lifts());
        made.lines = question.judged(of, false);
        made.error = question.error(made.lines, false);
    } catch (const Error&) { // no way to build it
    }
    return made;
}

/// Of candidates, the best first, those that are nearer to the goal than all with fewer parts changed.
template <class Candidate>
std::vector<Candidate> front(std::vector<Candidate> list) {
    std::stable_sort(list.begin(), list.end(),
                     [](const Candidate& a, const Candidate& b) { return a.parts() < b.parts(); });
    std::vector<Candidate> kept;
    for (Candidate& one : list)
        if (kept.empty() || one.error < kept.back().error) kept.push_back(std::move(one));
    return kept;
}

/// Puts answers, or what may become one, in their order, given the least error of all that is known.
class Ranking {
public:
    Ranking(double least, double today) : m_least(least) {
        if (std::isfinite(today)) m_equal = std::min(equal_error, equal_part * today);
    }

    /// Whether one such error is as good as another, or better, but for what is equal.
    bool is_as_near(double error, double other) const {
        return other > 0.0 ? error <= other + m_equal : error == 0.0;
    }

    /// Those that meet the goal, then by so many equal errors from the least.
    std::tuple<double, int, int, double> operator()(double error, std::uint64_t opened, int parts) const {
        const double group = error == 0.0    ? -1.0
                             : m_equal > 0.0 ? std::floor((error - m_least) / m_equal)
                                             : error - m_least;
        return {group, std::popcount(opened), parts, error};
    }

private:
    double m_least = 0.0;
    double m_equal = equal_error;
};

/// Whether nobody would build what opens the valves `opened`, changes `parts` and has this error where there
/// is `answer`: that is nearer with no more work, or as near with fewer parts in none but these valves.
bool is_pointless(const Ranking& ranking, const SearchAnswer& answer, double error, std::uint64_t opened,
                  int parts) {
    if (answer.parts() > parts || std::popcount(answer.opened) > std::popcount(opened)) return false;
    if (!ranking.is_as_near(error, answer.error)) return true;
    return answer.parts() < parts && (answer.opened & ~opened) == 0 &&
           ranking.is_as_near(answer.error, error);
}

/// In the order in which they are solved: those of the front, then the nearest that opens just these valves,
/// for all that some open, then by rank. `first`: how many of them are not by rank.
std::vector<Screened> in_order(const std::vector<Screened>& best, double today, std::size_t& first) {
    std::vector<Screened> list = front(best);
    const auto is_listed = [&](const Screened& one) {
        return std::any_of(list.begin(), list.end(), [&](const Screened& other) {
            return other.candidate == one.candidate && other.setting == one.setting;
        });
    };
    std::set<std::uint64_t> opened;
    for (const Screened& one : best)
        if (opened.insert(one.opened).second && !is_listed(one)) list.push_back(one);
    first = list.size();
    const Ranking ranking(best.empty() ? 0.0 : best.front().error, today);
    std::vector<Screened> others = best;
    std::erase_if(others, is_listed);
    std::stable_sort(others.begin(), others.end(), [&](const Screened& a, const Screened& b) {
        return std::pair(ranking(a.error, a.opened, a.parts()), a.candidate) <
               std::pair(ranking(b.error, b.opened, b.parts()), b.candidate);
    });
    list.insert(list.end(), others.begin(), others.end());
    return list;
}

/// Those of `solved`, a list by error, that somebody would build, the least work first. Of what is as near as
/// the nearest the least work is one of them, whatever is as near as that with less: else ways that lead
/// from the nearest to much worse ones, each as near as the one before, would take each other away, and leave
/// the nearest with all its work. So is the nearest where it opens one valve or none, and of several that
/// are as near to read that of the least work.
std::vector<SearchAnswer> without_pointless(std::vector<SearchAnswer> solved, const Ranking& ranking) {
    const double least = solved.empty() ? 0.0 : solved.front().error;
    const auto work = [](const SearchAnswer& one) {
        return std::tuple(std::popcount(one.opened), one.parts(), one.error, one.candidate);
    };
    std::sort(solved.begin(), solved.end(),
              [&](const SearchAnswer& a, const SearchAnswer& b) { return work(a) < work(b); });
    const auto nearest = std::find_if(solved.begin(), solved.end(), [&](const SearchAnswer& one) {
        return one.error <= least + readable_gain;
    });
    const auto first = std::find_if(solved.begin(), solved.end(), [&](const SearchAnswer& one) {
        return ranking.is_as_near(one.error, least);
    });
    const SearchAnswer* told =
        nearest != solved.end() && least > 0.0 && std::popcount(nearest->opened) <= 1 ? &*nearest : nullptr;
    std::vector<SearchAnswer> kept;
    for (SearchAnswer& one : solved)
        if (&one == told || (first != solved.end() && &one == &*first) ||
            std::none_of(kept.begin(), kept.end(), [&](const SearchAnswer& other) {
                return is_pointless(ranking, other, one.error, one.opened, one.parts());
            }))
            kept.push_back(std::move(one));
    return kept;
}

/// Of a list the best `most` that are other ways to build, in their order.
std::vector<SearchAnswer> distinct(const SearchQuestion& question, std::vector<SearchAnswer> list,
                                   const Ranking& ranking, std::size_t most) {
    const auto order = [&](const SearchAnswer& one) {
        return std::pair(ranking(one.error, one.opened, one.parts()), one.candidate);
    };
    std::sort(list.begin(), list.end(),
              [&](const SearchAnswer& a, const SearchAnswer& b) { return order(a) < order(b); });
    std::vector<SearchAnswer> kept;
    for (const SearchAnswer& one : list) {
        if (kept.size() == most) break;
        const int least_apart = std::max(2, (one.parts() + 3) / 4);
        const bool is_told = std::any_of(kept.begin(), kept.end(), [&](const SearchAnswer& other) {
            const int apart = question.apart(one.candidate, other.candidate) +
                              (one.setting.spring != other.setting.spring ? 1 : 0);
            return one.opened == other.opened && apart < least_apart;
        });
        const bool is_present = one.candidate == question.present() && one.springs == 0 && !kept.empty();
        if (!is_told && !is_present) kept.push_back(one);
    }
    return kept;
}

/// Whether a line of the goal has another value.
bool is_moved(const SearchAnswer& one, const SearchAnswer& present) {
    constexpr double same = 1e-6; // of the value
    for (std::size_t i = 0; i < one.lines.size(); ++i) {
        const std::optional<LineError>& line = one.lines[i];
        const std::optional<LineError>& before = present.lines[i];
        if (line.has_value() != before.has_value() ||
            (line && std::abs(line->value - before->value) > same * std::abs(before->value)))
            return true;
    }
    return false;
}

/// The error of the first of a list that is sorted by it.
double least_error(const std::vector<SearchAnswer>& list) {
    if (list.empty()) return infinity;
    return list.front().error;
}

} // namespace

bool is_as_it_is(const SearchQuestion& question, const SearchAnswer& answer) {
    return answer.candidate == question.present() && answer.setting == question.settings().front();
}

SearchResult solve(const SearchQuestion& question, SearchPart screening, const SearchHooks& hooks) {
    SearchResult result;
    result.screening = with_fewer_opened(question, std::move(screening));
    result.present = answer(question, {question.present(), 0, 0.0, 0});
    result.present.screened = question.error(result.present.lines, true);
    std::size_t first = 0;
    const std::vector<Screened> list = in_order(result.screening.best, result.present.error, first);
    const std::size_t most = std::min(list.size(), most_solved);
    const std::size_t wanted = question.options().answers;
    std::vector<SearchAnswer> solved;
    // Whatever is told has to be worth its work beside the set-up as it is.
    if (std::isfinite(result.present.error)) solved.push_back(result.present);
    std::vector<SearchAnswer> worthy; // of these
    const auto margin = [&] { return screen_doubt * result.screen_error; };
    std::size_t next = 0;
    // Enough: nothing that is left can be told before the last of the answers.
    const auto enough = [&] {
        if (result.answers.empty() || next < first) return false;
        const Ranking ranking(least_error(solved), result.present.error);
        const SearchAnswer& last = result.answers.back();
        const bool is_full = result.answers.size() == wanted;
        return std::none_of(
            list.begin() + static_cast<std::ptrdiff_t>(next), list.end(), [&](const Screened& one) {
                const double least = std::max(0.0, one.error - margin());
                if (std::any_of(worthy.begin(), worthy.end(), [&](const SearchAnswer& other) {
                        return is_pointless(ranking, other, least, one.opened, one.parts());
                    }))
                    return false;
                return !is_full ||
                       std::pair(ranking(least, one.opened, one.parts()), one.candidate) <
                           std::pair(ranking(last.error, last.opened, last.parts()), last.candidate);
            });
    };
    while (next < most && !enough()) {
        // Whoever stopped the screening wants the best so far: some are solved all the same.
        if (next > 0 && hooks.stop && hooks.stop()) {
            result.is_interrupted = true;
            break;
        }
        const std::size_t end = std::min(next + batch, most);
        std::vector<SearchAnswer> fresh(end - next);
        for_each_index(fresh.size(), [&](std::size_t i) { fresh[i] = answer(question, list[next + i]); });
        for (SearchAnswer& one : fresh) {
            if (!std::isfinite(one.error)) continue;
            result.screen_error = std::max(result.screen_error, std::abs(one.error - one.screened));
            result.moved = result.moved || is_moved(one, result.present);
            if (is_as_it_is(question, one) && std::isfinite(result.present.error)) continue; // is there
            solved.push_back(std::move(one));
        }
        std::sort(solved.begin(), solved.end(), [](const SearchAnswer& a, const SearchAnswer& b) {
            return std::tuple(a.error, a.parts(), a.candidate) < std::tuple(b.error, b.parts(), b.candidate);
        });
        const Ranking ranking(least_error(solved), result.present.error);
        worthy = without_pointless(solved, ranking);
        result.answers = distinct(question, worthy, ranking, wanted);
        next = end;
        if (hooks.progress)
            hooks.progress({SearchProgress::Stage::solving, next, most,
                            solved.empty() ? std::nullopt : std::optional<double>(least_error(solved))});
    }
    result.solved = next;
    result.by_changed = front(solved);
    result.is_interrupted = result.is_interrupted || result.screening.is_interrupted;
    if (solved.empty() && !result.is_interrupted)
        throw SolveError("of all stacks that were looked at, none could be solved");
    // Lines that only the full solution answers can but add to an error.
    std::optional<double> least;
    for (std::size_t i = next; i < list.size(); ++i)
        least = std::min(least.value_or(list[i].error), list[i].error);
    if (!least && result.screening.has_more && !list.empty()) least = list.back().error;
    if (least) result.bound = std::max(0.0, *least - margin());
    return result;
}

SearchResult search(const SearchQuestion& question, const SearchHooks& hooks) {
    return solve(question, screen(question, 1, 1, hooks), hooks);
}

} // namespace valve::study
