#include <setup/files.hpp>
#include <study/search_samples.hpp>
#include <support/catch.hpp>
#include <valve/report/search.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

using namespace valve;
using namespace valve::study;
using namespace valve::tests;
using Catch::Matchers::WithinRel;
using damper::Place;

namespace {

const char* const more_force = "  - {figure: damping_force, speed: 2 m/s, change: +15 %, within: 1 %}\n";

SearchOptions base_with(std::size_t most, std::size_t starts) {
    SearchOptions options;
    options.places = {Place::base_compression};
    options.most = most;
    options.starts = starts;
    return options;
}

/// The small fork's base valve and a drawer with far more ways to build than are looked at.
struct LargeFamily {
    explicit LargeFamily(const SearchOptions& options)
        : question(fork, goal_of(more_force),
                   setup::Drawer::load(VALVE_SOURCE_DIR "/stacks/drawers/van.yaml"), options, lifts) {}

    damper::LiftCache lifts = linear_lifts();
    setup::Reading fork = small_fork();
    SearchQuestion question;
};

/// Ways to build, 56 of them, of which some are solved and some stay unsolved.
struct SmallFamily {
    explicit SmallFamily(const SearchOptions& options)
        : question(fork, goal_of(more_force),
                   setup::Drawer::parse("format: 1\ndrawer:\n  shims: [24 x 0.15, 24 x 0.20, 20 x 0.15, "
                                        "14 x 0.20]\n  height: 1.5 mm\n",
                                        "drawer.yaml"),
                   options, lifts) {}

    damper::LiftCache lifts = linear_lifts();
    setup::Reading fork = small_fork();
    SearchQuestion question;
};

} // namespace

TEST_CASE("a search that is interrupted counts of what it has drawn what it has screened",
          "[study][search]") {
    const LargeFamily family(base_with(4000, 2));
    const SearchPart whole = [&] { // the second start, stopped when its neighbours' turn comes
        int looks = 0;
        return screen(family.question, 2, 2, {{}, [&] { return ++looks > 3; }});
    }();
    CHECK(whole.sampled == 2000 / 6);
    CHECK(whole.screened <= whole.sampled);

    int looks = 0;
    const SearchPart stopped = screen(family.question, 2, 2, {{}, [&] { return ++looks == 2; }});
    CHECK(stopped.is_interrupted);
    REQUIRE(stopped.screened == 128);
    // One that is drawn again is not screened again; of so many ways to build few are.
    CHECK(stopped.sampled >= stopped.screened);
    CHECK(stopped.sampled < stopped.screened + 10);

    const SearchPart at_once = screen(family.question, 2, 2, {{}, [] { return true; }});
    CHECK(at_once.screened == 0);
    CHECK(at_once.sampled == 0);
}

TEST_CASE("what is drawn twice counts twice", "[study][search]") {
    // Of 56 ways the second start draws 4, by some seeds one of them again.
    SearchOptions options = base_with(54, 2);
    for (options.seed = 1; options.seed <= 20; ++options.seed) {
        CAPTURE(options.seed);
        const SmallFamily family(options);
        const SearchPart part = screen(family.question, 2, 2);
        REQUIRE_FALSE(part.exhaustive);
        CHECK(part.screened == 27);
        CHECK(part.sampled == 4);
    }
}

TEST_CASE("a search looks at no more than it may", "[study][search]") {
    for (const auto& [most, starts] : {std::pair{10U, 200U}, {40U, 7U}, {1U, 1U}, {5U, 5U}}) {
        CAPTURE(most, starts);
        const SmallFamily family(base_with(most, starts));
        const SearchPart one = screen(family.question);
        REQUIRE_FALSE(one.exhaustive);
        CHECK(one.screened == most);
        CHECK(merged({screen(family.question, 1, 2), screen(family.question, 2, 2)}).screened == most);
    }
}

// Of n drawn at random none is better: with 95 % confidence fewer than 3/n are (hanley_lippman_hand_1983),
// which holds from 30 on.
TEST_CASE("what a search states of all ways to build is the rule of three and begins at 30 drawn",
          "[study][search][report]") {
    const SmallFamily family(base_with(40, 4));
    SearchResult result = search(family.question);
    const auto told = [&](std::size_t sampled) {
        result.screening.sampled = sampled;
        return nlohmann::json::parse(report::written(report::json(family.question, result, {})));
    };
    REQUIRE_FALSE(result.screening.exhaustive);
    CHECK(told(29)["coverage"]["share_better_at_most"].is_null());
    CHECK_THAT(told(29)["sentences"][2].get<std::string>(), !contains_text("95 %"));
    CHECK_THAT(told(30)["coverage"]["share_better_at_most"].get<double>(), WithinRel(0.1, 1e-12));
    CHECK_THAT(told(1500)["coverage"]["share_better_at_most"].get<double>(), WithinRel(0.002, 1e-12));
    CHECK_THAT(told(1500)["sentences"][2].get<std::string>(),
               contains_text("fewer than 0.2 % are better than the best found (95 % confidence: none of 1500 "
                             "drawn at random is)"));
    result.screening.exhaustive = true;
    CHECK(told(1500)["coverage"]["share_better_at_most"].is_null());
}

TEST_CASE("a gain in a search is told from half a hundredth of a step on", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    SearchOptions options;
    options.places = {damper::Place::base_compression};
    const SearchQuestion question(
        small_fork(), goal_of("  - {figure: damping_force, speed: 2 m/s, change: +40 %}\n"),
        setup::Drawer::parse("format: 1\ndrawer: {shims: [20 x 0.15]}\n", "d.yaml"), options, lifts);
    const SearchResult found = search(question);
    REQUIRE_FALSE(found.reached());
    const auto told = [&](double gain) {
        SearchResult result = found;
        SearchAnswer best = result.answers.front();
        best.error = 2.0;
        SearchAnswer nearest = best;
        nearest.error = 2.0 - gain;
        result.answers = {best};
        result.by_changed = {best, nearest};
        return report::text(question, result, {});
    };
    CHECK_THAT(told(0.0051), contains_text("steps nearer") && contains_text("By shims changed"));
    CHECK_THAT(told(0.0049), !contains_text("steps nearer") && !contains_text("By shims changed"));
}

TEST_CASE("the bound of what stays unsolved lies by twice the screen's error below the least of it",
          "[study][search]") {
    const SmallFamily family(base_with(6000, 8));
    const SearchResult result = search(family.question);
    REQUIRE(result.bound);
    REQUIRE(*result.bound > 0.0);
    REQUIRE(result.screen_error > 1e-6);
    // It is the screened error of one that was not solved; those below it were solved.
    const double least = *result.bound + 2.0 * result.screen_error;
    const std::vector<Screened>& best = result.screening.best;
    CHECK(std::any_of(best.begin(), best.end(),
                      [&](const Screened& one) { return std::abs(one.error - least) < 1e-9; }));
    const auto below = std::count_if(best.begin(), best.end(),
                                     [&](const Screened& one) { return one.error < least - 1e-9; });
    CHECK(static_cast<std::size_t>(below) <= result.solved);
    CHECK(result.solved < best.size());
}
