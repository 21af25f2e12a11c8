// How often the first of advice is the best of all single changes, by its own measure: random set-ups and
// goals, every size of every lever tried one by one. Prints those that are not; fails where more than one in
// fifty is not.
//
//   valve_random_advice [CASES [FIRST [linear|round|bends]]]

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <string>

#include "best_single.hpp"

using namespace valve;
using namespace valve::tests;

int main(int argc, char** argv) {
    const int cases = argc > 1 ? std::atoi(argv[1]) : 100;
    const int first_seed = argc > 2 ? std::atoi(argv[2]) : 1;
    const std::string how = argc > 3 ? argv[3] : "linear";
    stack::FollowOptions follow;
    if (how == "linear") follow.theory = stack::Theory::linear;
    if (how == "round") follow.shape = stack::Shape::round;
    int compared = 0;
    int worse = 0;
    int short_of = 0;
    int pairs = 0;
    int better_pairs = 0;
    for (int seed = first_seed; seed < first_seed + cases; ++seed) {
        damper::LiftCache lifts(follow);
        const AdviceCase drawn = advice_case(static_cast<std::uint64_t>(seed));
        const study::Advice advice =
            study::advise(drawn.document(), drawn.asked(), {.only = drawn.only}, lifts);
        if (advice.met_today()) continue;
        ++compared;
        const Brute best = brute_force(drawn, lifts);
        const double worth = advice.changes.empty() ? study::least_reached : advice.changes.front().worth;
        double reached = advice.nearest ? advice.nearest->reached : 0.0;
        for (const study::Suggestion& one : advice.changes)
            reached = std::max(reached, one.reached);
        const bool is_worse = best.of_worth.worth > worth / (1.0 - study::equal_worth) * 1.01 + 0.01;
        const bool is_short = best.of_reach.reached > reached + 0.02;
        worse += is_worse ? 1 : 0;
        short_of += is_short ? 1 : 0;
        for (const study::Suggestion& pair : advice.pairs) {
            ++pairs;
            const Near near = best_near(drawn, pair, 1, lifts);
            if (near.reached > pair.reached + 0.02 || near.worth > pair.worth * 1.01 + 0.01) ++better_pairs;
        }
        if (is_worse || is_short)
            fmt::print("seed {}: first {} {}, worth {:.4f}, reached {:.4f}\n  best {}\n  most {}\n{}", seed,
                       advice.changes.empty() ? "none" : advice.changes.front().steps.front().key,
                       advice.changes.empty() ? 0 : advice.changes.front().steps.front().steps, worth,
                       reached, best.of_worth.words, best.of_reach.words, drawn.goal);
    }
    fmt::print("{} advices: {} with a single change of more worth than the first, {} with one that reaches "
               "further than any told; {} pairs, {} with a better one a step away\n",
               compared, worse, short_of, pairs, better_pairs);
    return worse + short_of > compared / 50 ? 1 : 0;
}
