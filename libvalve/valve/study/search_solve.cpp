#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/study/search.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>
#include <utility>

namespace valve::study {

namespace {

constexpr std::size_t batch = 8;        // solved between two looks at whether it is enough
constexpr std::size_t most_solved = 96; // in full
constexpr double doubt = 2.0;           // how much more than seen the screen may err

/// Solved in full, from the file that it is.
SearchAnswer answer(const SearchQuestion& question, const Screened& screened) {
    SearchAnswer made{screened.candidate,
                      question.settings()[screened.setting],
                      {},
                      std::numeric_limits<double>::infinity(),
                      screened.error,
                      screened.changed,
                      screened.swapped};
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

std::size_t front_size(const std::vector<Screened>& list) {
    return front(list).size();
}

/// In the order in which they are solved: those of the front, then the best.
std::vector<Screened> in_order(const std::vector<Screened>& best) {
    std::vector<Screened> list = front(best);
    const std::vector<Screened> first = list;
    for (const Screened& one : best)
        if (std::none_of(first.begin(), first.end(),
                         [&](const Screened& other) { return other.candidate == one.candidate; }))
            list.push_back(one);
    return list;
}

/// The first `most` of `solved`, each at least two parts from all before it.
std::vector<SearchAnswer> distinct(const SearchQuestion& question, const std::vector<SearchAnswer>& solved,
                                   std::size_t most) {
    constexpr int least_apart = 2;
    std::vector<SearchAnswer> kept;
    for (const SearchAnswer& one : solved) {
        if (kept.size() == most) break;
        if (std::none_of(kept.begin(), kept.end(), [&](const SearchAnswer& other) {
                return question.apart(one.candidate, other.candidate) < least_apart;
            }))
            kept.push_back(one);
    }
    return kept;
}

} // namespace

bool SearchAnswer::operator<(const SearchAnswer& other) const {
    const int of_this = parts();
    const int of_other = other.parts();
    return std::tie(error, of_this, candidate) < std::tie(other.error, of_other, other.candidate);
}

SearchResult solve(const SearchQuestion& question, SearchPart screening, const SearchHooks& hooks) {
    SearchResult result;
    result.screening = std::move(screening);
    result.present = answer(question, {question.present(), 0, 0.0, 0});
    const std::vector<Screened> list = in_order(result.screening.best);
    const std::size_t most = std::min(list.size(), most_solved);
    const std::size_t wanted = question.options().answers;
    std::vector<SearchAnswer> solved;
    const auto margin = [&] { return doubt * result.screen_error; };
    std::size_t next = 0;
    // Enough: nothing that is left can be before the last of the answers.
    const auto enough = [&] {
        if (result.answers.size() < wanted || next < front_size(list)) return false;
        const SearchAnswer& last = result.answers.back();
        const int of_last = last.parts();
        return std::none_of(
            list.begin() + static_cast<std::ptrdiff_t>(next), list.end(), [&](const Screened& one) {
                const double least = std::max(0.0, one.error - margin());
                const int parts = one.parts();
                return std::tie(least, parts, one.candidate) < std::tie(last.error, of_last, last.candidate);
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
            solved.push_back(std::move(one));
        }
        std::sort(solved.begin(), solved.end());
        result.answers = distinct(question, solved, wanted);
        next = end;
        if (hooks.progress)
            hooks.progress({SearchProgress::Stage::solving, next, most,
                            solved.empty() ? std::nullopt : std::optional<double>(solved.front().error)});
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
