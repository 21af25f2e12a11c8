#include <setup/files.hpp>
#include <study/search_samples.hpp>
#include <support/catch.hpp>
#include <valve/study/search_part.hpp>

#include <algorithm>
#include <bit>
#include <cmath>

using namespace valve;
using namespace valve::study;
using namespace valve::tests;
using damper::Place;

// What a tuner would see: the fewest valves opened for what is gained, and answers that are other ways.
TEST_CASE("answers open no valve for nothing and are no neighbours of one another", "[study][search][long]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml"));
    const setup::Drawer drawer = setup::Drawer::load(VALVE_SOURCE_DIR "/stacks/drawers/van.yaml");
    SearchOptions options;
    options.most = 1800;
    options.starts = 3;
    const SearchQuestion question(
        fork,
        goal_of("  - {figure: damping_force, speed: 3 m/s, change: +7 %, within: 2 %}\n"
                "  - {figure: damping_force, speed: 0.3 m/s, keep: 4 %}\n"
                "  - {figure: damping_force, speed: -1 m/s, change: +8 %, within: 2 %}\n"
                "  - {figure: damping_force, speed: -3 m/s, change: +5 %, within: 2 %}\n"),
        drawer, options, lifts);
    REQUIRE(question.valves().size() == 4); // the check plate passes what rebound draws in
    const SearchResult result = search(question);
    REQUIRE_FALSE(result.answers.empty());
    const SearchAnswer& best = result.answers.front();
    CHECK(best.error < 0.7 * result.present.error);
    const double equal = std::min(equal_error, equal_part * result.present.error);
    CHECK(best.error <= result.nearest()->error + equal);
    const auto valves = [](const SearchAnswer& one) { return std::popcount(one.opened); };
    CHECK(valves(best) <= 2); // one for compression, one for rebound
    for (const SearchAnswer& one : result.answers) {
        CHECK(one.opened == question.opened(one.candidate));
        // Each valve that it opens is worth it, seen by the file with that valve as it is.
        for (std::size_t v = 0; v < 4 && valves(one) > 0; ++v) {
            if ((one.opened >> v & 1U) == 0) continue;
            SearchCandidate without = one.candidate;
            without.piles[v] = question.present().piles[v];
            without.fittings[v] = 0;
            const setup::Reading less = setup::read(question.document(without, one.setting));
            Evaluation of(less, question.options().at, lifts);
            CHECK(question.error(question.judged(of, false), false) > one.error + equal);
        }
        for (const SearchAnswer& other : result.answers) {
            if (&one == &other) continue;
            if (one.opened == other.opened) CHECK(question.apart(one.candidate, other.candidate) >= 2);
            // None is more work for nothing.
            if (other.parts() < one.parts() && (other.opened & ~one.opened) == 0)
                CHECK(other.error > one.error + equal);
            if (other.parts() <= one.parts() && valves(other) <= valves(one))
                CHECK(one.error <= other.error + equal);
        }
    }
}

// With one part a way is all but equal to that with two, but not to the nearest, which takes more: that it
// stands behind both takes nothing from the second.
TEST_CASE("the first answer is the least work of all that is as near as the nearest", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml"));
    const setup::Drawer drawer = setup::Drawer::parse(
        "format: 1\ndrawer: {shims: [2 * 24 x 0.10, 2 * 22 x 0.10, 2 * 18 x 0.15, 16 x 0.15, 2 * 21 x 0.10, "
        "19 x 0.10]}\n",
        "d.yaml");
    SearchOptions options;
    options.places = {Place::base_compression};
    options.most = 120;
    const SearchQuestion question(
        fork,
        goal_of("  - {figure: damping_force, speed: 3 m/s, change: -14 %, within: 3 %}\n"
                "  - {figure: damping_force, speed: 0.3 m/s, keep: 4 %}\n"
                "  - {figure: damping_force, speed: -1 m/s, keep: 4 %}\n"),
        drawer, options, lifts);
    const SearchResult result = search(question);
    REQUIRE_FALSE(result.answers.empty());
    REQUIRE(result.nearest() != nullptr);
    const double equal = std::min(equal_error, equal_part * result.present.error);
    std::size_t nearly_equal = 0; // to another, but not to the nearest
    for (const SearchAnswer& one : result.by_changed) {
        CAPTURE(one.parts(), one.error);
        if (one.error < result.nearest()->error + equal)
            CHECK(result.answers.front().parts() <= one.parts());
        else if (one.error < result.answers.front().error + equal)
            ++nearly_equal;
    }
    CHECK(nearly_equal > 0); // else the case is too easy
}

TEST_CASE("a goal that only a spring moves takes a spring alone", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Drawer drawer =
        setup::Drawer::parse("format: 1\ndrawer: {springs: [4.4 N/mm, 5.0 N/mm]}\n", "d.yaml");
    const SearchQuestion question(
        small_fork(), goal_of("  - {figure: rider_sag, change: +4 mm, within: 3 mm}\n"), drawer, {}, lifts);
    CHECK(question.valves().empty());
    const SearchResult result = search(question);
    CHECK(result.screening.exhaustive);
    REQUIRE(result.reached());
    CHECK(result.answers.front().setting.spring.value() == 4400.0); // weaker: more sag
    CHECK(result.answers.front().changed == 0);
    CHECK(result.answers.front().springs == 1); // a part, that somebody has to buy and fit
    CHECK(result.answers.front().parts() == 1);
    CHECK(result.answers.front().opened == 0);
    REQUIRE(result.by_changed.size() == 2);
    CHECK(result.by_changed.front().parts() == 0);

    // Where the spring that there is does as well by turning it, that is less work.
    SearchOptions options;
    options.adjusters = {main_spring};
    const setup::Reading fork = small_fork();
    const SearchQuestion wound(fork, goal_of("  - {figure: rider_sag, change: +4 mm, within: 3 mm}\n"),
                               drawer, options, lifts);
    const SearchResult unwound = search(wound);
    REQUIRE(unwound.reached());
    CHECK(unwound.answers.front().parts() == 0);
    CHECK(unwound.screen_error < 1e-6); // no valve acts
    CHECK(unwound.answers.front().setting.preload.value() < fork.unit->support->spring->preload);
    for (const Screened& one : load_part(Folder().write("part.yaml", part_text(screen(wound))), wound).best)
        CHECK(one.springs == wound.settings()[one.setting].springs());
}

// Of a stack that bends round its ring the screen, which takes it for round, is off by more than the goal
// asks for: it starts from what solving in full makes of the set-up as it is. The set-up is invented.
TEST_CASE("the screen is set right by the set-up as it is, so that one shim is found where one is enough",
          "[study][search]") {
    damper::LiftCache lifts(stack::FollowOptions{}, std::make_shared<stack::Solutions>(80));
    const setup::Reading shock = setup::read(setup::Document::load(
        VALVE_SOURCE_DIR "/stacks/rally-shock.yaml",
        {{"valves.piston.rebound",
          "{ports: {count: 4, area: 40 mm2}, coverage: 1, zone: {inner: 22 mm, outer: 32 mm}, seat: {inner: "
          "32 mm, outer: 34 mm}, clamp: 18 mm, shims: [6 * 36 x 0.20, 34 x 0.20, 30 x 0.20, 26 x 0.25, 22 x "
          "0.25]}"}}));
    const Goal goal = goal_of("  - {figure: damping_force, speed: -0.5 m/s, change: +10 %, within: 3 %}\n"
                              "  - {figure: damping_force, speed: -2.3 m/s, change: +5 %, within: 3 %}\n");
    SearchOptions options;
    options.places = {Place::piston_rebound};
    const setup::Drawer one_shim =
        setup::Drawer::parse("format: 1\ndrawer: {shims: [26 x 0.25]}\n", "d.yaml");
    const SearchQuestion question(shock, goal, one_shim, options, lifts);

    // As it is, the screen has the figures of the full solution but for its coarse mesh,
    // and without what bending makes of them it would not.
    const Screened as_it_is = [&] {
        const SearchPart part = screen(question);
        const auto found = std::find_if(part.best.begin(), part.best.end(), [&](const Screened& one) {
            return one.candidate == question.present();
        });
        REQUIRE(found != part.best.end());
        return *found;
    }();
    Evaluation full(shock, question.options().at, lifts);
    const double today = question.error(question.judged(full, false), false);
    CHECK(today > 0.5);
    CHECK_THAT(as_it_is.error, WithinAbs(today, 0.02));
    damper::LiftCache as_round = lifts.as_round();
    Evaluation round(*shock.unit, question.options().at, as_round);
    CHECK(std::abs(question.error(question.judged(round, false), false) - today) > 0.25);

    const SearchResult result = search(question);
    REQUIRE(result.reached());
    CHECK(result.answers.front().changed == 1);
}

TEST_CASE("nothing that gains nothing is an answer", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml"));
    const setup::Drawer drawer =
        setup::Drawer::parse("format: 1\ndrawer: {shims: [2 * 21 x 0.15, 2 * 24 x 0.15]}\n", "d.yaml");
    const std::string firmer = "  - {figure: damping_force, speed: 2 m/s, change: +8 %, within: 1 %}\n";
    SearchOptions options;
    options.most = 60;
    options.starts = 2;
    const auto only_as_it_is = [](const SearchQuestion& question, const SearchResult& result) {
        REQUIRE(result.answers.size() == 1);
        CHECK(result.answers.front().candidate == question.present());
        CHECK(result.answers.front().setting == question.settings().front());
        CHECK(result.answers.front().error == result.present.error);
        CHECK(result.by_changed.size() == 1);
        CHECK(result.solved > 1);
    };
    // A rebound stack has no part in compression.
    options.places = {Place::piston_rebound};
    const SearchQuestion idle(fork, goal_of(firmer), drawer, options, lifts);
    const SearchResult unmoved = search(idle);
    only_as_it_is(idle, unmoved);
    CHECK_FALSE(unmoved.moved);

    // It could but be taken away from what it does, which the other line wants kept.
    const SearchQuestion held(fork,
                              goal_of(firmer + "  - {figure: damping_force, speed: -1 m/s, keep: 0.01 %}\n"),
                              drawer, options, lifts);
    const SearchResult moved = search(held);
    only_as_it_is(held, moved);
    CHECK(moved.moved);

    // The main spring's preload moves neither.
    options.adjusters = {main_spring};
    CHECK_THROWS_WITH(
        SearchQuestion(fork, goal_of(firmer), drawer, options, lifts),
        contains_text("goal.yaml: no line asks for sag or support, and support.spring is turned "
                      "for these alone"));
}
