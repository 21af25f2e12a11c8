// How often a search finds a stack that is hidden behind the curve it gives, and whether small drawers
// searched whole give the best of all stacks solved in full. Prints the counts; fails where a small drawer's
// best is not the best of all, or fewer than nine hidden curves of ten are met.
//
//   valve_random_searches [HIDDEN [SMALL [linear|bends [FIRST]]]]

#include <valve/study/search.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <limits>
#include <memory>
#include <string>

using namespace valve;
using namespace valve::study;

namespace {

const std::string shims_key = "valves.base.compression.shims";
const std::string demo = VALVE_SOURCE_DIR "/stacks/rally-fork.yaml";

setup::Document fork_with(const std::string& shims) {
    return setup::Document::load(demo, {{shims_key, shims}});
}

SearchOptions for_base() {
    SearchOptions options;
    options.places = {damper::Place::base_compression};
    return options;
}

/// Lines that ask for the damping force that `unit` gives at `speeds`, within a share.
Goal curve_of(const damper::SetUp& unit, const std::vector<double>& speeds, double within, double factor,
              damper::LiftCache& lifts) {
    Evaluation of(unit, {}, lifts);
    std::string lines;
    for (const double speed : speeds) {
        const double force = factor * of.point(speed).damping_force;
        lines += fmt::format("  - {{figure: damping_force, speed: {} m/s, is: {} N, within: {} N}}\n", speed,
                             force, within * std::abs(force));
    }
    return resolve(setup::Goal::parse("format: 1\ngoal:\n" + lines, "curve"));
}

struct Recovered {
    int curves = 0;
    int at_once = 0; ///< of these by the first, short search
    int stacks = 0;
    std::size_t screened = 0;
};

/// A stack drawn from what lies at hand is hidden; its curve at six speeds, within 0.5 %, is the goal. Where
/// 500 ways do not meet it, 4,000 are looked at.
Recovered recover(int first, int cases, const stack::FollowOptions& follow) {
    const setup::Reading present = setup::read(setup::Document::load(demo));
    const setup::Drawer drawer = setup::Drawer::load(VALVE_SOURCE_DIR "/stacks/drawers/van.yaml");
    Recovered recovered;
    damper::LiftCache lifts(follow, std::make_shared<stack::Solutions>(300));
    const bool bends = lifts.follows_bending(); // then a case takes ten times as long
    for (int i = 0; i < cases; ++i) {
        const Goal any = curve_of(*present.unit, {1.0}, 0.01, 1.0, lifts);
        SearchOptions options = for_base();
        options.most = 500;
        options.starts = 3;
        options.answers = 1; // whoever asks wants one
        const SearchQuestion family(present, any, drawer, options, lifts);
        Dice dice(1000 + static_cast<std::uint64_t>(first + i));
        SearchCandidate hidden = family.present();
        hidden.piles.front() = family.valves().front().family->sample(dice);
        const setup::Reading unknown = setup::read(family.document(hidden, family.settings().front()));
        const Goal goal = curve_of(*unknown.unit, {0.1, 0.3, 0.7, 1.5, 2.5, 3.5}, 0.005, 1.0, lifts);
        const SearchQuestion question(present, goal, drawer, options, lifts);
        SearchResult result = search(question);
        recovered.screened += result.screening.screened;
        if (result.reached()) ++recovered.at_once;
        if (!result.reached()) { // whoever asks looks further
            options.most = 4000;
            options.starts = 8;
            const SearchQuestion further(present, goal, drawer, options, lifts);
            result = search(further);
            recovered.screened += result.screening.screened;
        }
        if (result.reached())
            ++recovered.curves;
        else
            std::printf(
                "case %d: missed by %.3f steps, hidden [%s]\n", first + i, result.nearest()->error,
                fmt::format("{}", fmt::join(question.written(0, hidden.piles.front()), ", ")).c_str());
        if (bends || (i + 1) % 50 == 0) {
            std::printf("%d of %d\n", recovered.curves, i + 1);
            std::fflush(stdout);
        }
        if (std::any_of(result.answers.begin(), result.answers.end(),
                        [&](const SearchAnswer& answer) { return answer.candidate == hidden; }))
            ++recovered.stacks;
    }
    return recovered;
}

/// Small drawers, and the best of all their stacks by loops and full solutions; how many agree.
int agree(int cases, const stack::FollowOptions& follow) {
    damper::LiftCache lifts(follow, std::make_shared<stack::Solutions>(200));
    const setup::Reading present = setup::read(fork_with("[2 * 24 x 0.15, 18 x 0.15]"));
    const setup::Drawer drawer = setup::Drawer::parse(
        "format: 1\ndrawer: {shims: [24 x 0.15, 24 x 0.20, 20 x 0.15, 14 x 0.20], height: 1.5 mm}\n",
        "drawer");
    std::vector<setup::Reading> all;
    for (int code = 0; code < 64; ++code) {
        const int thin = code / 16;
        std::string list;
        const auto add = [&](int count, const char* shim) {
            for (int n = 0; n < count; ++n)
                list += (list.empty() ? "" : ", ") + std::string(shim);
        };
        add(thin, "24 x 0.15");
        add(code / 8 % 2, "24 x 0.20");
        if (list.empty()) continue;
        add(code / 4 % 2, "20 x 0.15");
        add(code / 2 % 2, "18 x 0.15");
        add(code % 2, "14 x 0.20");
        all.push_back(setup::read(fork_with("[" + list + "]")));
    }
    int agreeing = 0;
    Dice dice(9);
    for (int i = 0; i < cases; ++i) {
        const Goal goal = curve_of(*all[dice.below(all.size())].unit, {0.3, 1.0, 3.0}, 0.001,
                                   0.9 + 0.2 * dice.share(), lifts);
        const SearchQuestion question(present, goal, drawer, for_base(), lifts);
        double best = std::numeric_limits<double>::infinity();
        for (const setup::Reading& one : all) {
            Evaluation of(*one.unit, {}, lifts);
            best = std::min(best, question.error(question.judged(of, false), false));
        }
        const SearchResult result = search(question);
        if (result.screening.exhaustive && std::abs(result.nearest()->error - best) < 1e-9) ++agreeing;
    }
    return agreeing;
}

} // namespace

int main(int argc, char** argv) {
    const int hidden = argc > 1 ? std::atoi(argv[1]) : 20;
    const int small = argc > 2 ? std::atoi(argv[2]) : 50;
    const int first = argc > 4 ? std::atoi(argv[4]) : 0;
    stack::FollowOptions follow;
    if (argc <= 3 || std::string(argv[3]) == "linear") follow.theory = stack::Theory::linear;
    const int agreeing = agree(small, follow);
    std::printf("counted: %d of %d small drawers: the best of the search is the best of all\n", agreeing,
                small);
    const Recovered recovered = recover(first, hidden, follow);
    std::printf("counted: %d of %d hidden curves met within 0.5 %%, %d of them by the first 500 ways looked "
                "at, %d by "
                "the hidden stack itself; %zu candidates screened each\n",
                recovered.curves, hidden, recovered.at_once, recovered.stacks,
                hidden > 0 ? recovered.screened / static_cast<std::size_t>(hidden) : 0);
    return agreeing == small && 10 * recovered.curves >= 9 * hidden ? 0 : 1;
}
