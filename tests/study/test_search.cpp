#include <setup/files.hpp>
#include <study/search_samples.hpp>
#include <support/catch.hpp>
#include <valve/study/adjusters.hpp>
#include <valve/study/search_part.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>
#include <random>

using namespace valve;
using namespace valve::study;
using namespace valve::tests;
using Catch::Matchers::WithinAbs;
using damper::Place;

namespace {

setup::Drawer small_drawer() {
    return setup::Drawer::parse("format: 1\ndrawer:\n  shims: [24 x 0.15, 24 x 0.20, 20 x 0.15, 14 x 0.20]\n"
                                "  height: 1.5 mm\n",
                                "drawer.yaml");
}

SearchOptions for_base() {
    SearchOptions options;
    options.places = {Place::base_compression};
    return options;
}

/// Every taper of the small drawer and the small stack, by five loops: shims as they are written.
std::vector<std::string> every_small_stack() {
    std::vector<std::string> stacks;
    for (int thin = 0; thin <= 3; ++thin)
        for (int thick = 0; thick <= 1; ++thick)
            for (int twenty = 0; twenty <= 1; ++twenty)
                for (int eighteen = 0; eighteen <= 1; ++eighteen)
                    for (int fourteen = 0; fourteen <= 1; ++fourteen) {
                        if (thin + thick == 0) continue; // nothing covers the seat
                        std::string list;
                        const auto add = [&](int count, const char* shim) {
                            if (count > 0)
                                list += fmt::format("{}{} * {}", list.empty() ? "" : ", ", count, shim);
                        };
                        add(thin, "24 x 0.15");
                        add(thick, "24 x 0.20");
                        add(twenty, "20 x 0.15");
                        add(eighteen, "18 x 0.15");
                        add(fourteen, "14 x 0.20");
                        stacks.push_back("[" + list + "]");
                    }
    return stacks;
}

/// Root of the sum of squares of what the lines of `goal` miss, of a file with these shims, solved in full.
double full_error(const Goal& goal, const std::vector<Target>& targets, const std::string& shims,
                  damper::LiftCache& lifts) {
    const setup::Reading reading = small_fork(shims);
    double sum = 0.0;
    for (std::size_t i = 0; i < targets.size(); ++i) {
        const Figure figure = evaluate(*reading.unit, goal.lines[i].figure, {}, lifts);
        const std::optional<LineError> line = error_of(targets[i], figure, 4.0);
        if (!line) return std::numeric_limits<double>::infinity();
        sum += line->steps * line->steps;
    }
    return std::sqrt(sum);
}

/// Checks a whole search of a small drawer against every stack of it solved in full.
void check_against_all(const Goal& goal, damper::LiftCache& lifts) {
    const setup::Reading fork = small_fork();
    const SearchQuestion question(fork, goal, small_drawer(), for_base(), lifts);
    const SearchResult result = search(question);
    REQUIRE(result.screening.exhaustive);
    const std::vector<std::string> stacks = every_small_stack();
    CHECK(result.screening.candidates == static_cast<double>(stacks.size()));

    double best = std::numeric_limits<double>::infinity();
    std::size_t below_bound = 0;
    for (const std::string& shims : stacks) {
        const double error = full_error(goal, question.targets(), shims, lifts);
        best = std::min(best, error);
        if (result.bound && error < *result.bound - 1e-9) ++below_bound;
    }
    REQUIRE(!result.answers.empty());
    CHECK_THAT(result.nearest()->error, WithinAbs(best, 1e-9));
    CHECK(result.answers.front().error < best + equal_error);
    CHECK(below_bound <= result.solved); // whatever is better than the bound was solved
}

} // namespace

TEST_CASE("a small drawer is searched whole: the best is the best of all solved in full",
          "[study][search][long]") {
    damper::LiftCache lifts = linear_lifts();
    std::mt19937 random(5);
    std::uniform_real_distribution<double> low(15.0, 60.0);
    std::uniform_real_distribution<double> high(100.0, 500.0);
    constexpr int cases = 12;
    for (int i = 0; i < cases; ++i) {
        const std::string lines =
            fmt::format("  - {{figure: damping_force, speed: 0.3 m/s, is: {:.1f} N, within: 1 N}}\n"
                        "  - {{figure: damping_force, speed: 2 m/s, is: {:.1f} N, within: 2 N}}\n",
                        low(random), high(random));
        INFO(lines);
        check_against_all(goal_of(lines), lifts);
    }
    std::printf("counted: %d small drawers searched as by solving every stack\n", cases);
}

TEST_CASE("the same with large deflections", "[study][search][long]") {
    damper::LiftCache lifts(stack::FollowOptions{}, std::make_shared<stack::Solutions>(80));
    check_against_all(goal_of("  - {figure: damping_force, speed: 3 m/s, change: +35 %, within: 1 %}\n"
                              "  - {figure: damping_force, speed: 0.5 m/s, keep: 3 %}\n"),
                      lifts);
}

TEST_CASE("the answer's file gives the figures that were promised", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, change: +20 %}\n"
                              "  - {figure: balance_margin, speed: 2 m/s, at_least: 0.1 bar}\n");
    const setup::Reading fork = small_fork();
    const SearchQuestion question(fork, goal, small_drawer(), for_base(), lifts);
    const SearchResult result = search(question);
    for (const SearchAnswer& answer : result.answers) {
        const std::string text = setup::variant_text(
            *fork.written, question.document(answer.candidate, answer.setting), "found", "fork.yaml");
        const setup::Reading found = setup::read(
            setup::Document::parse(text, "found.yaml", [](const std::string&) -> std::optional<std::string> {
                return file_text(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml");
            }));
        // The variant is of the demo; what the small fork changes of it stands in it only where it differs.
        if (answer.changed == 0) continue;
        for (std::size_t i = 0; i < goal.lines.size(); ++i) {
            const Figure figure = evaluate(*found.unit, goal.lines[i].figure, {}, lifts);
            CHECK_THAT(figure.value.value(),
                       WithinAbs(answer.lines[i]->value, 1e-9 * std::abs(*figure.value)));
        }
    }
}

TEST_CASE("the present stack is found where the goal is what it does", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    std::string lines;
    for (const double speed : {0.1, 0.3, 1.0, 2.0, 3.0})
        lines += fmt::format("  - {{figure: damping_force, speed: {} m/s, keep: 0.1 %}}\n", speed);
    const setup::Reading fork = small_fork();
    const SearchQuestion question(fork, goal_of(lines), small_drawer(), for_base(), lifts);
    const SearchResult result = search(question);
    CHECK(result.reached());
    CHECK(result.present.error == 0.0);
    CHECK(result.answers.front().changed == 0);
    CHECK(result.answers.front().candidate == question.present());
}

TEST_CASE("a goal out of reach is told as such, with what is missed", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, is: 5000 N}\n");
    const setup::Reading fork = small_fork();
    const SearchQuestion question(fork, goal, small_drawer(), for_base(), lifts);
    const SearchResult result = search(question);
    CHECK_FALSE(result.reached());
    CHECK(result.answers.front().lines.front()->distance < 0.0);
    // The nearest is the stiffest: everything that lies at hand. No gap is in a taper, so that every shim
    // more makes it stiffer.
    CHECK(result.answers.front().candidate.piles.front().size() == 7);
}

TEST_CASE("a search in parts gives what one run gives", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork = small_fork();
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, change: +15 %, within: 1 %}\n");
    for (const bool whole : {true, false}) {
        SearchOptions options = for_base();
        if (!whole) {
            options.most = 40; // fewer than there are
            options.starts = 4;
        }
        const SearchQuestion question(fork, goal, small_drawer(), options, lifts);
        const SearchPart one = screen(question);
        CHECK(one.exhaustive == whole);
        const Folder folder;
        std::vector<SearchPart> parts;
        for (const std::size_t part : {3U, 1U, 2U})
            parts.push_back(load_part(
                folder.write(fmt::format("{}.yaml", part), part_text(screen(question, part, 3))), question));
        const SearchPart together = merged(parts);
        CHECK(part_text(together) == part_text(one));
        const SearchResult a = solve(question, one);
        const SearchResult b = solve(question, together);
        REQUIRE(a.answers.size() == b.answers.size());
        for (std::size_t i = 0; i < a.answers.size(); ++i) {
            CHECK(a.answers[i].candidate == b.answers[i].candidate);
            CHECK(a.answers[i].error == b.answers[i].error);
        }
        parts.pop_back();
        CHECK_THROWS_WITH(merged(parts), contains_text("part 2 of 3 is missing"));

        SearchOptions other = options;
        other.seed = 2;
        const SearchQuestion another(fork, goal, small_drawer(), other, lifts);
        CHECK_THROWS_WITH(load_part(folder.write("part.yaml", part_text(one)), another),
                          contains_text("a part of another search"));
    }
}

TEST_CASE("clicks, springs and sleeves are chosen with the shims", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork = small_fork();
    SearchOptions options = for_base();
    options.adjusters = {"base.compression"};
    const setup::Drawer drawer = setup::Drawer::parse(
        "format: 1\ndrawer: {shims: [24 x 0.15], springs: [4.6 N/mm, 4.8 N/mm, 5.2 N/mm], height: 1 mm}\n",
        "d.yaml");
    const Goal goal = goal_of("  - {figure: damping_force, speed: 0.2 m/s, change: -20 %, within: 1 %}\n"
                              "  - {figure: rider_sag, change: -5 mm, within: 2 mm}\n");
    const SearchQuestion question(fork, goal, drawer, options, lifts);
    CHECK(question.settings().size() == 25 * 3); // 0 to 24 clicks, three springs
    const SearchResult result = search(question);
    const SearchAnswer& best = result.answers.front();
    CHECK(best.setting.spring.value() == 5200.0);
    CHECK(best.setting.clicks.front() > 10.0); // more bleed, less force
    const setup::Document file = question.document(best.candidate, best.setting);
    CHECK_THAT(file.get("support.spring.rate")->number.value(), WithinAbs(5200.0, 1e-9));
    CHECK_THAT(file.get("valves.base.compression.bleed.needle.clicks")->number.value(),
               WithinAbs(best.setting.clicks.front(), 0.0));

    // The main spring's preload, where it may be turned: more of it, less sag.
    options.adjusters = {main_spring};
    const Goal less_sag = goal_of("  - {figure: damping_force, speed: 0.2 m/s, keep: 1 %}\n"
                                  "  - {figure: rider_sag, change: -3 mm, within: 0.5 mm}\n");
    const setup::Drawer no_springs =
        setup::Drawer::parse("format: 1\ndrawer: {shims: [24 x 0.15], height: 1 mm}\n", "d.yaml");
    const SearchQuestion preloaded(fork, less_sag, no_springs, options, lifts);
    CHECK(preloaded.settings().size() == 21); // 0 to 20 mm
    const SearchResult turned = search(preloaded);
    REQUIRE(turned.reached());
    const SearchAnswer& wound = turned.answers.front();
    CHECK(wound.parts() == 0);
    CHECK(wound.setting.preload.value() > fork.unit->support->spring->preload);
    const setup::Reading wound_in = setup::read(preloaded.document(wound.candidate, wound.setting));
    const Figure sag = evaluate(*wound_in.unit, less_sag.lines[1].figure, {}, lifts);
    CHECK_THAT(sag.value.value(), WithinAbs(wound.lines[1]->value, 1e-12));
    options.adjusters = {"support.sprong"};
    CHECK_THROWS_WITH(SearchQuestion(fork, less_sag, no_springs, options, lifts),
                      contains_text("did you mean 'support.spring'?"));

    // A shim off a sleeve gives float back, as reading the file has it.
    const setup::Reading sleeved = setup::read(setup::Document::load(
        VALVE_SOURCE_DIR "/stacks/rally-fork.yaml", {{"valves.piston.compression.float.travel", "null"},
                                                     {"valves.piston.compression.float.sleeve", "1.65 mm"}}));
    SearchOptions mid;
    mid.places = {Place::piston_compression};
    const setup::Drawer sleeves =
        setup::Drawer::parse("format: 1\ndrawer: {sleeves: [1.40 mm, 1.80 mm]}\n", "d.yaml");
    const SearchQuestion floated(
        sleeved, goal_of("  - {figure: damping_force, speed: 2 m/s, change: -5 %}\n"), sleeves, mid, lifts);
    REQUIRE(floated.valves().front().fittings.size() == 3);
    SearchCandidate lighter = floated.present();
    lighter.piles.front().erase(lighter.piles.front().begin());
    lighter.fittings.front() = 2;
    const std::optional<flow::Valve> built = floated.valve_with(0, lighter.piles.front(), 2);
    const setup::Reading read = setup::read(floated.document(lighter, {}));
    CHECK(built.value() == read.unit->valves[Place::piston_compression].value());
}

namespace {

/// The demo fork with a small floated stack in the mid-valve, whose coil has an adjuster.
setup::Reading floated_fork(const std::string& shims, const std::string& travel, const std::string& coil,
                            const std::string& turns) {
    const std::string key_of = "valves.piston.compression";
    return setup::read(setup::Document::load(
        VALVE_SOURCE_DIR "/stacks/rally-fork.yaml",
        {{key_of + ".shims", shims},
         {key_of + ".float",
          "{" + travel + ", " + coil + ", adjuster: {turns: " + turns + ", per_turn: 1 mm, of: 0.5}}"}}));
}

} // namespace

TEST_CASE("float, coil and its adjuster are chosen with the shims as by solving every way to build",
          "[study][search][long]") {
    damper::LiftCache lifts = linear_lifts();
    const std::string weak = "rate: 1.2 N/mm, preload: 1 N";
    const setup::Reading fork = floated_fork("[2 * 21 x 0.15, 17 x 0.15]", "travel: 0.45 mm", weak, "0.25");
    SearchOptions options;
    options.places = {Place::piston_compression};
    options.adjusters = {"piston.compression"};
    const setup::Drawer drawer = setup::Drawer::parse(
        "format: 1\ndrawer: {shims: [21 x 0.20], sleeves: [0.60 mm], coils: [12 N/mm], height: 0.66 mm}\n",
        "d.yaml");
    // Of the sleeve that there is, 0.45 + 2 * 0.15 + 0.15 = 0.90 mm.
    std::vector<setup::Reading> all;
    for (int code = 0; code < 12; ++code) {
        std::string list;
        int height = 0; // [10 µm]
        const auto add = [&](int count, const char* shim, int thick) {
            for (int n = 0; n < count; ++n, height += thick)
                list += (list.empty() ? "" : ", ") + std::string(shim);
        };
        add(code / 4, "21 x 0.15", 15);
        add(code / 2 % 2, "21 x 0.20", 20);
        if (list.empty()) continue;
        add(code % 2, "17 x 0.15", 15);
        if (height > 66) continue;
        for (const int sleeve : {90, 60})
            for (const std::string& coil : {weak, std::string("rate: 12 N/mm, preload: 10 N")})
                for (const char* turns : {"0", "0.25", "0.5"})
                    if (height < sleeve)
                        all.push_back(floated_fork("[" + list + "]",
                                                   fmt::format("sleeve: {} mm", 0.01 * sleeve), coil, turns));
    }
    std::mt19937 random(3);
    std::uniform_real_distribution<double> part(0.9, 1.1);
    constexpr int cases = 8;
    for (int i = 0; i < cases; ++i) {
        const setup::Reading& like = all[random() % all.size()];
        std::string lines;
        Evaluation sample(*like.unit, {}, lifts);
        for (const double speed : {0.2, 1.0, 3.0})
            lines += fmt::format("  - {{figure: damping_force, speed: {} m/s, is: {} N, within: 0.1 %}}\n",
                                 speed, part(random) * sample.point(speed).damping_force);
        const Goal goal = goal_of(lines);
        const SearchQuestion question(fork, goal, drawer, options, lifts);
        const SearchResult result = search(question);
        REQUIRE(result.screening.exhaustive);
        double best = std::numeric_limits<double>::infinity();
        for (const setup::Reading& one : all) {
            Evaluation of(*one.unit, {}, lifts);
            best = std::min(best, question.error(question.judged(of, false), false));
        }
        INFO(lines);
        CHECK_THAT(result.nearest()->error, WithinAbs(best, 1e-9));

        // What is built for the screen is what the file says, to the last digit, whatever was chosen.
        for (const SearchAnswer& answer : result.answers) {
            const setup::Reading read = setup::read(question.document(answer.candidate, answer.setting));
            CHECK(question.valve_with(0, answer.candidate.piles.front(), answer.candidate.fittings.front()) ==
                  read.unit->valves[Place::piston_compression]);
            CHECK(answer.swapped == question.swapped(answer.candidate));
        }
        if (i > 0) continue;
        CHECK(result.screening.screened >= all.size());
        const Folder folder;
        std::vector<SearchPart> parts;
        for (const std::size_t k : {2U, 1U})
            parts.push_back(load_part(
                folder.write(fmt::format("{}.yaml", k), part_text(screen(question, k, 2))), question));
        CHECK(part_text(merged(parts)) == part_text(result.screening));
    }
    std::printf("counted: %d small drawers with sleeves, coils and turns searched as by solving all %zu\n",
                cases, all.size());
}

TEST_CASE("a float follows its sleeve where the drawer has some, and no part is in two valves",
          "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml"));
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, change: -5 %}\n");
    SearchOptions options;
    options.places = {Place::piston_compression};
    SearchCandidate lighter;
    const auto travel_of = [&](const std::string& drawer) {
        const SearchQuestion question(fork, goal, setup::Drawer::parse(drawer, "d.yaml"), options, lifts);
        lighter = question.present();
        lighter.piles.front().erase(lighter.piles.front().begin());
        return question.valve_with(0, lighter.piles.front(), 0).value().stack.floating->travel;
    };
    const double today = fork.unit->valves[Place::piston_compression]->stack.floating->travel;
    CHECK_THAT(travel_of("format: 1\ndrawer: {shims: [21 x 0.15]}\n"), WithinAbs(today, 1e-12));
    CHECK_THAT(travel_of("format: 1\ndrawer: {sleeves: [1.65 mm]}\n"), WithinAbs(today + 0.15e-3, 1e-12));

    options.places = {Place::piston_compression, Place::base_refill};
    const setup::Drawer one_of_each =
        setup::Drawer::parse("format: 1\ndrawer: {sleeves: [1.40 mm], coils: [5 N/mm]}\n", "d.yaml");
    const SearchQuestion both(fork, goal, one_of_each, options, lifts);
    SearchCandidate candidate = both.present();
    CHECK(both.valves()[0].fittings.size() == 4);
    CHECK(both.has_parts_for(candidate));
    candidate.fittings = {3, 0}; // sleeve and coil
    CHECK(both.has_parts_for(candidate));
    CHECK(both.swapped(candidate) == 2);
    candidate.fittings = {3, 1};
    CHECK_FALSE(both.has_parts_for(candidate));
    candidate.fittings = {2, 1}; // the sleeve in one, the coil in the other
    CHECK(both.has_parts_for(candidate));
}

TEST_CASE("a shim too small for the rings of a float is none to choose", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    SearchOptions options;
    options.places = {Place::piston_compression};
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, change: -5 %}\n");
    for (const std::string ring : {"spring_at: 16 mm", "stop_at: 16 mm"}) { // never at its stop
        CAPTURE(ring);
        const auto fork = [&](const std::string& shims) {
            return setup::read(
                setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml",
                                      {{"valves.piston.compression.shims", shims},
                                       {"valves.piston.compression.float",
                                        "{travel: 15 mm, rate: 1000 N/mm, preload: 1 N, " + ring + "}"}}));
        };
        CHECK_THROWS_WITH(fork("[21 x 0.15, 15.98 x 0.20]"), contains_text("lies outside the last shim"));
        CHECK_NOTHROW(fork("[21 x 0.15, 16 x 0.20]"));
        const setup::Reading reading = fork("[2 * 21 x 0.15, 17 x 0.15]");
        const auto ways = [&](const std::string& shims) {
            return SearchQuestion(
                       reading, goal,
                       setup::Drawer::parse("format: 1\ndrawer: {shims: [" + shims + "], height: 1 mm}\n",
                                            "d.yaml"),
                       options, lifts)
                .size();
        };
        CHECK(ways("21 x 0.20, 15.98 x 0.20") == ways("21 x 0.20"));
        CHECK(ways("21 x 0.20, 16 x 0.20") > ways("21 x 0.20"));
    }
}

TEST_CASE("a shim that the clamp covers bends nothing and is none to choose", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork = small_fork(); // a clamp of 12 mm; radii within 5 micrometres are one edge
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, change: -5 %}\n");
    const auto ways = [&](const std::string& shims) {
        return SearchQuestion(fork, goal,
                              setup::Drawer::parse("format: 1\ndrawer: {shims: [" + shims + "]}\n", "d.yaml"),
                              for_base(), lifts)
            .size();
    };
    CHECK(ways("24 x 0.15, 12.01 x 0.15") == ways("24 x 0.15"));
    CHECK(ways("24 x 0.15, 12.012 x 0.15") > ways("24 x 0.15"));
}

TEST_CASE("a coil is turned where its shims stay", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading shock =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-shock.yaml"));
    SearchOptions options;
    for (const Adjuster& adjuster : adjusters(shock))
        if (adjuster.steps == "turns") options.adjusters.push_back(adjuster.name);
    REQUIRE(options.adjusters.size() == 1);
    options.places = {Place::piston_rebound};
    const SearchQuestion question(
        shock, goal_of("  - {figure: damping_force, speed: 2 m/s, change: +3 %, within: 0.5 %}\n"),
        setup::Drawer::parse("format: 1\ndrawer: {shims: [20 x 0.15], height: 0.5 mm}\n", "d.yaml"), options,
        lifts);
    REQUIRE(question.valves().size() == 2);
    CHECK(question.valves()[1].family == nullptr);
    const SearchResult result = search(question);
    REQUIRE(!result.answers.empty());
    CHECK(result.answers.front().error < result.present.error);
    const SearchFitting fitting = question.valves()[1].fittings[result.answers.front().candidate.fittings[1]];
    REQUIRE(fitting.turns);
    const setup::Document file =
        question.document(result.answers.front().candidate, result.answers.front().setting);
    CHECK_THAT(file.get(question.valves()[1].key + ".float.adjuster.turns")->number.value(),
               WithinAbs(*fitting.turns, 0.0));
}

TEST_CASE("several stacks share what lies at hand, and those that move the goal are found",
          "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml"));
    const setup::Drawer drawer =
        setup::Drawer::parse("format: 1\ndrawer: {shims: [2 * 21 x 0.15, 2 * 24 x 0.15]}\n", "d.yaml");
    SearchOptions options;
    options.most = 300;
    options.starts = 2;
    const Goal goal = goal_of("  - {figure: damping_force, speed: 2 m/s, change: +8 %, within: 1 %}\n");
    const SearchQuestion question(fork, goal, drawer, options, lifts);
    REQUIRE(question.valves().size() == 2); // the check and the rebound stack have no part in compression
    CHECK(question.valves()[0].place == Place::base_compression);
    CHECK(question.valves()[1].place == Place::piston_compression);
    const SearchPart part = screen(question);
    CHECK_FALSE(part.exhaustive);
    CHECK(part.screened <= 300);
    for (const Screened& one : part.best) {
        Counts left = question.left_for(question.valves().size(), one.candidate);
        CHECK(std::all_of(left.begin(), left.end(), [](int count) { return count >= 0; }));
    }
    CHECK(part.best.front().error < 0.2); // within a fifth of a noticeable step

    const Goal rebound = goal_of("  - {figure: damping_force, speed: -1 m/s, change: +8 %, within: 1 %}\n");
    const SearchQuestion other(fork, rebound, drawer, options, lifts);
    for (const SearchValve& valve : other.valves())
        CHECK((valve.place == Place::piston_rebound || valve.place == Place::base_refill));
    CHECK_THROWS_WITH(
        SearchQuestion(fork, goal_of("  - {figure: friction, at_most: 20 N}\n"), drawer, options, lifts),
        contains_text("nothing that the drawer can change moves a line of this goal"));
}

TEST_CASE("a search can be stopped, and says so", "[study][search]") {
    damper::LiftCache lifts = linear_lifts();
    const setup::Reading fork = small_fork();
    SearchOptions options = for_base();
    options.most = 40; // in several bouts
    options.starts = 4;
    const SearchQuestion question(fork, goal_of("  - {figure: damping_force, speed: 2 m/s, change: +15 %}\n"),
                                  small_drawer(), options, lifts);
    std::size_t told = 0;
    SearchHooks hooks;
    hooks.progress = [&](const SearchProgress& progress) {
        ++told;
        CHECK(progress.done <= progress.most);
    };
    hooks.stop = [&] { return told > 0; };
    const SearchResult result = search(question, hooks);
    CHECK(told > 0);
    CHECK(result.is_interrupted);
    CHECK(result.solved > 0);
    CHECK(result.solved <= 8);
    REQUIRE(!result.answers.empty()); // the best so far
    CHECK(result.answers.front().error <= result.present.error);
    CHECK(SearchResult{}.nearest() == nullptr); // where nothing was solved
}
