#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/stack/quick_law.hpp>
#include <valve/study/search.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <map>
#include <set>
#include <tuple>
#include <utility>

namespace valve::study {

namespace {

constexpr std::size_t batch = 128;     // screened between two looks at whether to stop
constexpr std::size_t most_kept = 400; // of what was screened, the best
constexpr std::size_t most_by_changed = 3;
constexpr std::size_t most_by_opened = 12;
constexpr std::size_t most_put_back = 40; // of the best, tried with fewer valves opened

/// Keeps the best of many, and the best few of every number of changed parts and of all that open the same
/// valves.
class Best {
public:
    void add(const std::vector<Screened>& more) {
        for (const Screened& one : more) {
            if (!std::isfinite(one.error)) continue;
            insert(m_kept, one, most_kept);
            insert(m_by_changed[one.parts()], one, most_by_changed);
            insert(m_by_opened[one.opened], one, most_by_opened);
        }
    }
    std::vector<Screened> list() const {
        std::set<Screened> all = m_kept;
        for (const auto& [changed, few] : m_by_changed)
            all.insert(few.begin(), few.end());
        for (const auto& [opened, few] : m_by_opened)
            all.insert(few.begin(), few.end());
        return {all.begin(), all.end()};
    }
    bool has_more() const { return m_has_more; }
    std::optional<double> error() const {
        return m_kept.empty() ? std::nullopt : std::optional<double>(m_kept.begin()->error);
    }

private:
    void insert(std::set<Screened>& kept, const Screened& one, std::size_t most) {
        kept.insert(one);
        if (kept.size() <= most) return;
        kept.erase(std::prev(kept.end()));
        m_has_more = m_has_more || &kept == &m_kept;
    }

    std::set<Screened> m_kept;
    std::map<int, std::set<Screened>> m_by_changed;
    std::map<std::uint64_t, std::set<Screened>> m_by_opened;
    bool m_has_more = false;
};

/// Screens candidates. Lift laws are kept, as many candidates share one of their stacks.
class Screen {
public:
    explicit Screen(const SearchQuestion& question)
        : m_question(question), m_laws(question.lifts().laws(question.unit())) {}

    std::vector<Screened> operator()(const std::vector<SearchCandidate>& candidates) {
        solve_stacks(candidates);
        std::vector<std::vector<Screened>> each(candidates.size());
        for_each_index(candidates.size(), [&](std::size_t i) { each[i] = screened(candidates[i]); });
        std::vector<Screened> result;
        for (std::vector<Screened>& of_one : each)
            std::move(of_one.begin(), of_one.end(), std::back_inserter(result));
        return result;
    }

private:
    using Law = std::optional<stack::LiftLaw>; // none: cannot be built or solved
    using Key = std::tuple<std::size_t, Pile, std::size_t>;

    static Key key(std::size_t valve, const SearchCandidate& candidate) {
        return {valve, candidate.piles[valve], candidate.fittings[valve]};
    }

    void solve_stacks(const std::vector<SearchCandidate>& candidates) {
        constexpr std::size_t most_laws = 20000; // some 1 kB each
        if (m_known.size() > most_laws) m_known.clear();
        std::map<Key, Law> fresh;
        for (const SearchCandidate& candidate : candidates)
            for (std::size_t v = 0; v < candidate.piles.size(); ++v)
                if (Key wanted = key(v, candidate); !m_known.contains(wanted))
                    fresh.emplace(std::move(wanted), std::nullopt);
        std::vector<std::map<Key, Law>::iterator> tasks;
        for (auto task = fresh.begin(); task != fresh.end(); ++task)
            tasks.push_back(task);
        for_each_index(tasks.size(), [&](std::size_t i) {
            const auto& [valve, pile, fitting] = tasks[i]->first;
            try {
                if (const std::optional<flow::Valve> built = m_question.valve_with(valve, pile, fitting))
                    tasks[i]->second = stack::quick_law(built->stack, m_question.lifts().options());
            } catch (const Error&) { // a stack without a lift law is no answer
            }
        });
        m_known.merge(fresh);
    }

    /// The best with the main spring that there is, and with another where there is one at hand.
    std::vector<Screened> screened(const SearchCandidate& candidate) const {
        const Screened as_it_is{candidate,
                                0,
                                infinity,
                                m_question.changed(candidate),
                                m_question.swapped(candidate),
                                m_question.opened(candidate)};
        std::vector<Screened> result{as_it_is};
        damper::SetUp unit = m_question.unit();
        damper::LiftLaws laws = m_laws;
        for (std::size_t v = 0; v < candidate.piles.size(); ++v) {
            const Law& law = m_known.at(key(v, candidate));
            if (!law) return result;
            const damper::Place place = m_question.valves()[v].place;
            laws.take_round(place, *law);
            unit.valves[place] = m_question.valve_with(v, candidate.piles[v], candidate.fittings[v]);
        }
        for (std::size_t s = 0; s < m_question.settings().size(); ++s) {
            try {
                m_question.set(unit, m_question.settings()[s]);
                Evaluation of(unit, m_question.options().at, m_question.lifts(), damper::Model(unit, laws));
                const double error = m_question.error(m_question.judged(of, true), true);
                const auto springs = static_cast<std::size_t>(m_question.settings()[s].springs());
                if (springs == result.size()) {
                    result.push_back(as_it_is);
                    result.back().springs = 1;
                }
                if (error < result[springs].error) {
                    result[springs].error = error;
                    result[springs].setting = s;
                }
            } catch (const Error&) { // cannot be built so
            }
        }
        return result;
    }

    const SearchQuestion& m_question;
    damper::LiftLaws m_laws; // of the set-up as it is
    std::map<Key, Law> m_known;
};

/// Calls `visit` for every candidate, always in the same order, until it says false.
bool visit_all(const SearchQuestion& question, SearchCandidate& candidate,
               const std::function<bool(const SearchCandidate&)>& visit) {
    const std::size_t v = candidate.piles.size();
    if (v == question.valves().size()) return visit(candidate);
    const SearchValve& valve = question.valves()[v];
    const auto with_each_fitting = [&](const Pile& pile) {
        for (std::size_t fitting = 0; fitting < valve.fittings.size(); ++fitting) {
            candidate.piles.push_back(pile);
            candidate.fittings.push_back(fitting);
            const bool go_on = !question.has_parts_for(candidate) || visit_all(question, candidate, visit);
            candidate.piles.pop_back();
            candidate.fittings.pop_back();
            if (!go_on) return false;
        }
        return true;
    };
    if (!valve.family) return with_each_fitting(valve.present);
    return valve.family->for_each(question.left_for(v, candidate), with_each_fitting);
}

/// How many candidates there are, counted no further than `most` + 1.
std::size_t count_up_to(const SearchQuestion& question, std::size_t most) {
    std::size_t count = 0;
    SearchCandidate candidate;
    visit_all(question, candidate, [&](const SearchCandidate&) { return ++count <= most; });
    return count;
}

/// Whether two fittings differ in one thing.
bool are_next(const SearchFitting& a, const SearchFitting& b) {
    return (a.sleeve != b.sleeve) + (a.coil != b.coil) + (a.turns != b.turns) == 1;
}

/// Whether what lies at hand is enough for all valves of `candidate` together.
bool has_enough_for(const SearchQuestion& question, const SearchCandidate& candidate) {
    const Counts left = question.left_for(question.valves().size(), candidate);
    return std::none_of(left.begin(), left.end(), [](int count) { return count < 0; }) &&
           question.has_parts_for(candidate);
}

/// `candidate` with one of its valves as it is today, for each that is not.
std::vector<SearchCandidate> with_a_valve_back(const SearchQuestion& question,
                                               const SearchCandidate& candidate) {
    const SearchCandidate present = question.present();
    std::vector<SearchCandidate> found;
    for (std::size_t v = 0; v < candidate.piles.size() && candidate.piles.size() > 1; ++v) {
        SearchCandidate one = candidate;
        one.piles[v] = present.piles[v];
        one.fittings[v] = present.fittings[v];
        if (one != candidate && has_enough_for(question, one)) found.push_back(std::move(one));
    }
    return found;
}

/// The candidates one step from `candidate`: one stack changed, or one of its sleeve, coil and turns, or one
/// valve left as it is today.
std::vector<SearchCandidate> neighbours(const SearchQuestion& question, const SearchCandidate& candidate) {
    std::vector<SearchCandidate> found = with_a_valve_back(question, candidate);
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const SearchValve& valve = question.valves()[v];
        if (valve.family)
            for (Pile& pile : valve.family->neighbours(candidate.piles[v], question.left_for(v, candidate))) {
                found.push_back(candidate);
                found.back().piles[v] = std::move(pile);
            }
        for (std::size_t fitting = 0; fitting < valve.fittings.size(); ++fitting) {
            if (!are_next(valve.fittings[fitting], valve.fittings[candidate.fittings[v]])) continue;
            found.push_back(candidate);
            found.back().fittings[v] = fitting;
            if (!question.has_parts_for(found.back())) found.pop_back();
        }
    }
    return found;
}

/// One of the family, each as likely as any other; none where the valves together found none in many tries.
std::optional<SearchCandidate> drawn(const SearchQuestion& question, Dice& dice) {
    constexpr int tries = 200;
    for (int trial = 0; trial < tries; ++trial) {
        SearchCandidate candidate;
        for (const SearchValve& valve : question.valves()) {
            candidate.piles.push_back(valve.family ? valve.family->sample(dice) : valve.present);
            candidate.fittings.push_back(valve.fittings.size() > 1 ? dice.below(valve.fittings.size()) : 0);
            if (valve.family && candidate.piles.back().empty()) return std::nullopt;
        }
        if (has_enough_for(question, candidate)) return candidate;
    }
    return std::nullopt;
}

/// How many of `list` stand before the one that would be the next of `different` different ones.
std::size_t length_of(const std::vector<SearchCandidate>& list, std::size_t different) {
    std::set<SearchCandidate> seen;
    std::size_t length = 0;
    while (length < list.size() && (seen.contains(list[length]) || seen.size() < different))
        seen.insert(list[length++]);
    return length;
}

/// The work on one part.
class Screening {
public:
    Screening(const SearchQuestion& question, std::size_t part, std::size_t of, const SearchHooks& hooks)
        : m_question(question), m_screen(question), m_hooks(hooks) {
        m_result.part = part;
        m_result.of = of;
        m_result.question = question.fingerprint();
        m_result.candidates = question.size();
    }

    SearchPart run() {
        const std::size_t most = m_question.options().most;
        const std::size_t count = count_up_to(m_question, most);
        m_result.exhaustive = count <= most;
        m_to_do = (m_result.exhaustive ? count : most) / m_result.of + 1;
        if (m_result.exhaustive) {
            m_result.candidates = static_cast<double>(count);
            look_at_all();
        } else {
            const std::size_t starts = m_question.options().starts;
            for (std::size_t start = m_result.part - 1;
                 start < std::min(starts, most) && !m_result.is_interrupted; start += m_result.of)
                set_out(start, most / starts + (start < most % starts ? 1 : 0));
        }
        // As it is, whether or not it is one of the family.
        if (m_result.part == 1) m_best.add(m_screen({m_question.present()}));
        m_result.best = m_best.list();
        m_result.has_more = m_best.has_more();
        return std::move(m_result);
    }

private:
    /// Screens `candidates` and keeps the best; false where it is time to stop.
    bool take(const std::vector<SearchCandidate>& candidates, std::vector<Screened>* seen = nullptr) {
        for (std::size_t begin = 0; begin < candidates.size(); begin += batch) {
            if (m_hooks.stop && m_hooks.stop()) m_result.is_interrupted = true;
            if (m_result.is_interrupted) return false;
            const std::size_t end = std::min(candidates.size(), begin + batch);
            const std::vector<Screened> screened =
                m_screen({candidates.begin() + static_cast<std::ptrdiff_t>(begin),
                          candidates.begin() + static_cast<std::ptrdiff_t>(end)});
            m_best.add(screened);
            if (seen != nullptr) seen->insert(seen->end(), screened.begin(), screened.end());
            m_result.screened += end - begin;
            if (m_hooks.progress)
                m_hooks.progress({SearchProgress::Stage::screening, m_result.screened,
                                  std::max(m_to_do, m_result.screened), m_best.error()});
        }
        return true;
    }

    void look_at_all() {
        std::size_t index = 0;
        std::vector<SearchCandidate> waiting;
        SearchCandidate candidate;
        visit_all(m_question, candidate, [&](const SearchCandidate& one) {
            if (index++ % m_result.of == m_result.part - 1) waiting.push_back(one);
            if (waiting.size() < batch) return true;
            const bool go_on = take(waiting);
            waiting.clear();
            return go_on;
        });
        take(waiting);
    }

    /// From the present stacks, or from the best of some drawn at random, always on to the neighbours of the
    /// best whose neighbours have not been looked at, until `share` candidates have been screened. Each start
    /// stands for itself, so that it does not matter who runs the others.
    void set_out(std::size_t start, std::size_t share) {
        std::set<SearchCandidate> known;
        std::set<Screened> waiting;
        const auto look = [&](std::vector<SearchCandidate> candidates) {
            std::erase_if(candidates, [&](const SearchCandidate& one) { return !known.insert(one).second; });
            if (candidates.size() > share) candidates.resize(share);
            share -= candidates.size();
            std::vector<Screened> seen;
            const bool go_on = take(candidates, &seen);
            waiting.insert(seen.begin(), seen.end());
            return go_on && share > 0;
        };
        std::vector<SearchCandidate> first;
        if (start == 0) {
            first.push_back(m_question.present());
        } else {
            Dice dice(m_question.options().seed * 0x9e3779b97f4a7c15U + start);
            for (std::size_t i = 0; i < std::max<std::size_t>(1, share / 6); ++i)
                if (std::optional<SearchCandidate> one = drawn(m_question, dice))
                    first.push_back(*std::move(one));
        }
        const std::size_t before = m_result.screened;
        const bool goes_on = look(first);
        if (start > 0) m_result.sampled += length_of(first, m_result.screened - before);
        if (!goes_on) return;
        while (!waiting.empty()) {
            const SearchCandidate next = waiting.begin()->candidate;
            waiting.erase(waiting.begin());
            if (!look(neighbours(m_question, next))) return;
        }
    }

    const SearchQuestion& m_question;
    Screen m_screen;
    const SearchHooks& m_hooks;
    SearchPart m_result;
    Best m_best;
    std::size_t m_to_do = 0;
};

} // namespace

bool Screened::operator<(const Screened& other) const {
    const int of_this = parts();
    const int of_other = other.parts();
    return std::tie(error, of_this, candidate) < std::tie(other.error, of_other, other.candidate);
}

SearchPart screen(const SearchQuestion& question, std::size_t part, std::size_t of,
                  const SearchHooks& hooks) {
    if (part < 1 || part > of) throw InputError(fmt::format("there is no part {} of {}", part, of));
    return Screening(question, part, of, hooks).run();
}

SearchPart with_fewer_opened(const SearchQuestion& question, SearchPart whole) {
    if (whole.exhaustive) return whole;
    std::set<SearchCandidate> known;
    for (const Screened& one : whole.best)
        known.insert(one.candidate);
    std::vector<SearchCandidate> fresh;
    for (std::size_t i = 0; i < std::min(whole.best.size(), most_put_back); ++i) {
        std::vector<SearchCandidate> list{whole.best[i].candidate};
        for (std::size_t j = 0; j < list.size(); ++j) {
            const std::vector<SearchCandidate> with_fewer = with_a_valve_back(question, list[j]);
            for (const SearchCandidate& one : with_fewer) {
                if (!known.insert(one).second) continue;
                list.push_back(one);
                fresh.push_back(one);
            }
        }
    }
    if (fresh.empty()) return whole;
    Best best;
    best.add(whole.best);
    best.add(Screen(question)(fresh));
    whole.best = best.list();
    whole.has_more = whole.has_more || best.has_more();
    whole.screened += fresh.size();
    return whole;
}

SearchPart merged(std::vector<SearchPart> parts) {
    if (parts.empty()) throw InputError("there are no parts to merge");
    std::sort(parts.begin(), parts.end(),
              [](const SearchPart& a, const SearchPart& b) { return a.part < b.part; });
    SearchPart whole = parts.front();
    Best best;
    whole.screened = whole.sampled = 0;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const SearchPart& part = parts[i];
        if (part.question != whole.question || part.of != whole.of)
            throw InputError("the parts are of different searches: each has to be made with the same files "
                             "and options");
        if (part.part != i + 1)
            throw InputError(
                fmt::format("part {} of {} is missing, or another one is there twice", i + 1, whole.of));
        whole.screened += part.screened;
        whole.sampled += part.sampled;
        whole.is_interrupted = whole.is_interrupted || part.is_interrupted;
        whole.has_more = whole.has_more || part.has_more;
        best.add(part.best);
    }
    if (parts.size() != whole.of)
        throw InputError(fmt::format("there are {} of {} parts", parts.size(), whole.of));
    whole.part = whole.of = 1;
    whole.best = best.list();
    whole.has_more = whole.has_more || best.has_more();
    return whole;
}

} // namespace valve::study
