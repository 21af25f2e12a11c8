#include <program/run.hpp>
#include <support/catch.hpp>
#include <valve/report/advise.hpp>
#include <valve/report/balance_map.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/inspection.hpp>
#include <valve/report/left_out.hpp>
#include <valve/report/lift.hpp>
#include <valve/report/page.hpp>
#include <valve/report/page_fields.hpp>
#include <valve/report/page_words.hpp>
#include <valve/report/search.hpp>
#include <valve/report/support.hpp>
#include <valve/report/wear.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

using namespace valve;
using namespace valve::report;

namespace {

const std::string stacks = std::string(VALVE_SOURCE_DIR) + "/stacks/";

// Linear plates, which are the quicker ones.
const stack::FollowOptions quick{.theory = stack::Theory::linear};

} // namespace

TEST_CASE("the parts of a page are what the commands show alone", "[report][demo]") {
    const std::vector<PageSource> sources{{stacks + "rally-fork.yaml", {}},
                                          {stacks + "rally-fork-softer-check.yaml", {}}};
    damper::LiftCache lifts(quick);
    std::vector<std::string> begun;
    PageOptions options{.program = "valve test"};
    options.progress = [&](const std::string& what) { begun.push_back(what); };
    const Page two = page(sources, options, lifts);
    REQUIRE(begun.size() == 1 + 2 * 10); // the comparison, then the parts of each
    CHECK(begun[0] == "what changed, and why");
    CHECK(begun[9] == "A: cycles in time");
    CHECK(begun.back() == "B: rides");
    CHECK(two.is_complete);
    CHECK(two.data.at("program") == "valve test");

    std::vector<setup::Document> documents;
    for (std::size_t i = 0; i < sources.size(); ++i) {
        const std::string& file = sources[i].file;
        documents.push_back(setup::Document::load(file));
        const setup::Reading reading = setup::read(documents.back());
        const Json& part = two.data.at("setups").at(i);
        CHECK(part.at("name") == (i == 0 ? "A" : "B"));
        CHECK(part.at("inspect") == json(study::inspection(file, reading, lifts)));
        CHECK(part.at("curve") == json(study::curve_result(file, reading, {}, lifts)));
        CHECK(part.at("map") == json(study::balance_map(file, reading, {}, lifts)));
        CHECK(part.at("wear") ==
              json(valve::study::wear_study(file, reading, {}, valve::study::wear_multiples(), lifts)));
        CHECK(part.at("support") == json(study::support_result(file, reading, {})));
        CHECK(part.at("lift").at("valves").at(0) ==
              json(study::lift_result("base.compression",
                                      *reading.unit->valves[damper::Place::base_compression], {}, lifts)));
        REQUIRE(part.at("cycles").at("cycles").size() == 3);
        for (const Json& cycle : part.at("cycles").at("cycles")) {
            const Json& series = cycle.at("series");
            CHECK(series.at("travel_m").size() == 201);
            CHECK(series.at("force_N").size() == 201);
            CHECK(cycle.at("dead_travel_compression_m").get<double>() > 0.0);
        }
        CHECK(part.at("rides").empty()); // no event was asked for
        CHECK(part.at("left_out").empty());
        CHECK(part.at("sections").size() == 4);
        CHECK_FALSE(part.at("rider").empty());
    }
    CHECK(two.data.at("comparison") == json(study::compare(documents, {}, lifts)));
    CHECK(two.data.at("setups").at(0).at("build").at("changes").empty());
    CHECK(two.data.at("setups").at(1).at("build").at("changes").size() == 4);
    for (const char* sentences : {"answer", "cautions", "method"})
        CHECK_FALSE(two.data.at(sentences).empty());
    const Json thin = drawn(two.data);
    const Json& told = thin.at("comparison").at("changes").at(0);
    CHECK_FALSE(told.contains("undone"));
    for (const auto& [key, value] : told.items())
        CHECK(value == two.data.at("comparison").at("changes").at(0).at(key));
    CHECK(thin.at("setups").at(0).at("inspect").at("defaults") ==
          two.data.at("setups").at(0).at("inspect").at("defaults"));
}

TEST_CASE("a page with an event draws its ride", "[report][demo][ride]") {
    damper::LiftCache lifts(quick);
    PageOptions options;
    motion::Event ledge;
    ledge.kind = motion::EventKind::square_edge;
    ledge.height = 40e-3;
    ledge.speed = 12.0;
    ledge.duration = 0.2;
    options.events.push_back({"Ledge", "ledge.yaml", ledge, {}});
    motion::Event beyond = ledge;
    beyond.at = 20.0;
    options.events.push_back({"Beyond", "beyond.yaml", beyond, {}});
    const Json part = page({{stacks + "rally-fork.yaml", {}}}, options, lifts).data.at("setups").at(0);
    REQUIRE(part.at("rides").size() == 2);
    const Json& ride = part.at("rides").at(0);
    CHECK(ride.at("event") == "Ledge");
    CHECK(ride.at("about") == "an edge 40 mm high, at 12 m/s for 0.2 s");
    CHECK(part.at("rides").at(1).at("about") == "an edge 40 mm high, at 12 m/s for 0.2 s. The run ends 2.4 m "
                                                "along, short of the edge at 20 m");
    CHECK(ride.at("metrics").at(1).at("words") == "largest travel");
    CHECK(ride.at("metrics").at(1).at("value") > ride.at("metrics").at(0).at("value"));
    const Json& series = ride.at("series");
    CHECK(series.at("travel_m").size() > 126);
    CHECK(series.at("travel_m").size() <= 125 * 13);
    const auto greatest = [&](const char* key) {
        double most = 0.0;
        for (const Json& value : series.at(key))
            most = std::max(most, std::abs(value.get<double>()));
        return most;
    };
    const auto metric = [&](const std::string& words) {
        for (const Json& one : ride.at("metrics"))
            if (one.at("words") == words) return one.at("value").get<double>();
        FAIL(words);
        return 0.0;
    };
    CHECK_THAT(greatest("travel_m"), WithinAbs(metric("largest travel"), 5e-5));
    CHECK_THAT(greatest("acceleration_m_s2"), WithinAbs(metric("harshness, peak"), 0.05));
    CHECK(ride.at("series").at("ground_m").back() == 0.04);
    CHECK(ride.at("wheel_radius_m") == 0.34);
    CHECK(ride.at("full_travel_m") == 0.3);
    // An edge needs its two corners and both ends.
    CHECK(ride.at("ground").at("distance_m").size() == 4);
    CHECK(ride.at("ground").at("height_m").back() == 0.04);
}

TEST_CASE("an end of the travel that is met hard leads the answer of a page", "[report][demo][ride]") {
    damper::LiftCache lifts(quick);
    PageOptions options;
    motion::Event fall;
    fall.title = "Fall";
    fall.kind = motion::EventKind::landing;
    fall.height = 2.0;
    fall.duration = 0.4;
    motion::Event pebble;
    pebble.title = "Pebble";
    pebble.height = 15e-3;
    pebble.length = 0.3;
    pebble.speed = 10.0;
    pebble.duration = 0.2;
    options.events = {{pebble.title, "pebble.yaml", pebble, {}}, {fall.title, "fall.yaml", fall, {}}};
    const std::string fork = stacks + "rally-fork.yaml";
    const Json one = page({{fork, {}}}, options, lifts).data;
    const std::string lead = one.at("answer").at(0).get<std::string>();
    CHECK_THAT(lead, contains_text("Over Fall: it bottoms out: metal is met at "));
    CHECK(one.at("setups").at(0).at("ride_warnings") == Json::array({lead}));
    const Json two = page({{fork, {}}, {stacks + "rally-fork-more-oil.yaml", {}}}, options, lifts).data;
    CHECK(two.at("answer").at(0) == "A. " + lead);
    CHECK_THAT(two.at("answer").at(1).get<std::string>(), contains_text("B. Over Fall: it bottoms out: "));
}

TEST_CASE("a page tells a fork that comes out undamped before what speaks well of it",
          "[report][demo][ride]") {
    damper::LiftCache lifts(quick);
    PageOptions options;
    motion::Event drop;
    drop.title = "Drop";
    drop.kind = motion::EventKind::landing;
    drop.height = 0.5;
    drop.duration = 1.4;
    options.events = {{drop.title, "drop.yaml", drop, {}}};
    const setup::Override soft{"valves.piston.rebound.shims", "[21 x 0.10]"};
    const Json data = page({{stacks + "rally-fork-both.yaml", {soft}}}, options, lifts).data;
    const Json& fork = data.at("setups").at(0);
    const std::string knock = "it comes out to its end with a knock: full extension is met at ";
    CHECK_THAT(data.at("answer").at(0).get<std::string>(), contains_text("Over Drop: " + knock));
    REQUIRE(fork.at("ride_warnings").size() == 1);
    CHECK(fork.at("ride_warnings").at(0) == data.at("answer").at(0));
    CHECK_THAT(fork.at("rider").at(0).get<std::string>(), contains_text("Drop: " + knock));
    CHECK_THAT(fork.at("rider").at(1).get<std::string>(), contains_text("each stroke begins damped"));
}

TEST_CASE("a page with an event compares rides, and their causes, as compare does", "[report][demo][ride]") {
    damper::LiftCache lifts(quick);
    motion::Event pebble;
    pebble.title = "Pebble";
    pebble.height = 15e-3;
    pebble.length = 0.3;
    pebble.speed = 10.0;
    pebble.duration = 0.4;
    const std::vector<PageSource> sources{{stacks + "rally-fork.yaml", {}},
                                          {stacks + "rally-fork-less-friction.yaml", {}}};
    PageOptions options;
    options.events.push_back({pebble.title, "pebble.yaml", pebble, {}});
    const Json data = page(sources, options, lifts).data;
    std::vector<setup::Document> documents;
    for (const PageSource& source : sources)
        documents.push_back(setup::Document::load(source.file));
    study::CompareOptions asked;
    asked.events.emplace_back(study::NamedEvent{"pebble.yaml", pebble});
    const study::Comparison comparison = study::compare(documents, asked, lifts);
    CHECK(data.at("comparison") == json(comparison));
    CHECK(data.at("events").at("pebble.yaml") == "Pebble");
    const auto& changes = comparison.variants.front().changes;
    CHECK(std::any_of(changes.begin(), changes.end(), [](const study::Change& change) {
        return change.to.quantity == study::Quantity::small_bump_acceleration && !change.because.empty();
    }));
    const std::string answer = data.at("answer").dump();
    CHECK_THAT(answer, contains_text("Over Pebble: "));

    // One that says nothing of a wheel is compared all the same, at steady speed.
    const Page mixed = page({sources.front(), {stacks + "road-shock.yaml", {}}}, options, lifts);
    CHECK(mixed.data.at("comparison").at("rule_of_rides").is_null());
    CHECK(mixed.data.at("setups").at(1).at("rides").empty());
}

TEST_CASE("with a goal a page tells what advise does, and how near the other set-ups come",
          "[report][demo]") {
    damper::LiftCache lifts(quick);
    const study::Goal goal = study::resolve(
        setup::Goal::parse("format: 1\ntitle: oil\ngoal:\n"
                           "  - {figure: support_force, travel: 90 %, change: +5 %, within: 1 %}\n"
                           "  - {figure: support_force, travel: 50 %, keep: 5 %}\n",
                           "goal.yaml"));
    PageOptions options;
    options.goal = goal;
    options.advise.only = {"support."};
    const std::string fork = stacks + "rally-fork.yaml";
    const std::string more_oil =
        tests::file_with("more-oil.yaml", "format: 1\ntitle: more oil\nfrom: " + fork +
                                              "\nchange: {support.leg.oil: 400 ml}\n");
    const Json data = page({{fork, {}}, {more_oil, {}}}, options, lifts).data;
    study::AdviseOptions asked;
    asked.only = options.advise.only;
    asked.beside = {setup::Document::load(more_oil)};
    const study::Advice advice = study::advise(setup::Document::load(fork), goal, asked, lifts);
    CHECK(data.at("advice") == json(advice));
    REQUIRE(advice.beside.size() == 1);
    REQUIRE(advice.beside.front());
    const setup::Reading other = setup::read(setup::Document::load(more_oil));
    study::Evaluation of(other, advice.at, lifts);
    for (std::size_t i = 0; i < goal.lines.size(); ++i)
        CHECK(advice.beside.front()->lines[i].value == evaluate(of, goal.lines[i].figure).value);
    const Json first = data.at("advice").at("changes").at(0);
    CHECK(first.at("missing").get<double>() == 1.0 - first.at("reached").get<double>());
    CHECK_THAT(data.at("advice").at("sentences").at(0).get<std::string>(),
               contains_text(first.at("words").get<std::string>()));
    CHECK(page({{fork, {}}}, {}, lifts).data.at("advice").is_null());
}

TEST_CASE("with a drawer a page tells what search builds for the goal", "[report][demo]") {
    damper::LiftCache lifts(quick);
    PageOptions options;
    options.goal = study::resolve(setup::Goal::load(stacks + "goals/harder-hits.yaml"));
    options.advise.only = {"oil."};
    const std::string van = stacks + "drawers/van.yaml";
    PageDrawer at_hand{van, setup::Drawer::load(van)};
    at_hand.options.places = {damper::Place::base_compression};
    at_hand.options.most = 40;
    at_hand.options.starts = 2;
    options.drawer = at_hand;
    const std::string fork = stacks + "rally-fork.yaml";
    const Page made = page({{fork, {}}}, options, lifts);
    const setup::Reading reading = setup::read(setup::Document::load(fork));
    const study::SearchQuestion question(reading, *options.goal, at_hand.drawer, at_hand.options, lifts);
    const study::SearchResult result = study::search(question);
    CHECK(made.data.at("search") ==
          json(question, result,
               {fork, reading.title, options.goal->path, options.goal->title, van, at_hand.drawer.title}));
    const Json& best = made.data.at("search").at("stacks").at(0);
    CHECK(best.at("error_steps") == result.answers.front().error);
    CHECK(best.at("changed_shims") == result.answers.front().changed);
    CHECK_THAT(best.at("words").get<std::string>(), contains_text("base.compression: ["));
    CHECK(best.at("words").get<std::string>().find('\n') == std::string::npos);
    const Json thin = drawn(made.data).at("search");
    CHECK(thin.at("stacks").at(0).size() == 5);
    for (const char* counted : {"changed_shims", "swapped_parts", "changed_springs"}) // the page adds them up
        CHECK(thin.at("stacks").at(0).at(counted) == best.at(counted));
}

TEST_CASE("the build sheet of a variant alone marks what differs from the file it comes from",
          "[report][demo]") {
    damper::LiftCache lifts(quick);
    const Json variant = page({{stacks + "rally-fork-softer-check.yaml", {}}}, {}, lifts).data;
    CHECK(variant.at("comparison").is_null());
    CHECK(variant.at("setups").at(0).at("build").at("changes").size() == 4);
}

TEST_CASE("each adjuster comes with its family, the present setting among them", "[report][demo]") {
    damper::LiftCache lifts(quick);
    const PageSource source{stacks + "rally-fork.yaml",
                            {{"valves.base.compression.bleed.needle.clicks", "7"}}};
    const Json setup = page({source}, {}, lifts).data.at("setups").at(0);
    REQUIRE(setup.at("families").size() == 2);
    std::vector<std::string> settings;
    for (const Json& member : setup.at("families").at(0).at("family"))
        settings.push_back(member.at("setting").get<std::string>());
    CHECK(settings == std::vector<std::string>{"0", "6", "7", "12", "18", "24"});
    CHECK(setup.at("fade").at("family").size() == 3);
}

TEST_CASE("a page names the searches that broke off and the points that have no solution", "[report][demo]") {
    damper::LiftCache lifts({.theory = stack::Theory::linear, .max_pressure = 2e5}); // short curves
    const Page one = page({{stacks + "rally-fork.yaml", {}}}, {}, lifts);
    CHECK_FALSE(one.is_complete);
    const Json& setup = one.data.at("setups").at(0);
    REQUIRE_FALSE(setup.at("map").is_null());
    const auto told = [&](const std::string& what) {
        const Json& list = setup.at("left_out");
        return std::any_of(list.begin(), list.end(), [&](const Json& text) {
            return text.get<std::string>().find(what) != std::string::npos;
        });
    };
    CHECK(told("Forces and pressures: the search for voids on compression broke off: at "));
    for (const Json& text : setup.at("left_out")) {
        const std::string said = text.get<std::string>();
        if (said.find("Forces and pressures: the search for voids on compression broke off: at ") == 0)
            CHECK_THAT(said, contains_text("; Balance over travel"));
    }
    const Json& onset = setup.at("map").at("map").at("void_onset").at(0);
    CHECK(onset.at("compression_searched_to_m_s").get<double>() < 4.0);
    CHECK(onset.at("compression_m_s").is_null());
    for (const Json& text : setup.at("left_out"))
        CHECK(std::count(setup.at("left_out").begin(), setup.at("left_out").end(), text) == 1);
}

TEST_CASE("what is left out is told once for each cause", "[report]") {
    const auto would_hold = [](int bar) { return fmt::format("at -4 m/s: C would hold {} bar", bar); };
    const std::vector<LeftOut> list{{"Forces", "", would_hold(1519), 2},
                                    {"Forces", "", would_hold(1520)},
                                    {"base.compression at", "0", "too stiff"},
                                    {"base.compression at", "0", would_hold(1519)},
                                    {"base.compression at", "6", "at 4.5 m/s: C would hold 7 bar"},
                                    {"base.compression at", "6", would_hold(3)},
                                    {"Map", "", would_hold(1)},
                                    {"Wear", "", "at -4 m/s: R would hold 1519 bar"}};
    CHECK(sentences(list) ==
          std::vector<std::string>{
              "Forces: at -4 m/s: C would hold 1519 bar (3 points without a solution in all). Alike but for "
              "numbers: base.compression at 0, 6; Map",
              "base.compression at 0: too stiff", "Wear: at -4 m/s: R would hold 1519 bar"});
    CHECK(sentences(std::vector<LeftOut>{}).empty());
}

TEST_CASE("a curve says from which speed on it has no solution", "[report]") {
    const auto point = [](double speed, bool solved) {
        damper::SteadyPoint one;
        one.speed = speed;
        if (!solved) one.error = fmt::format("why at {}", speed);
        return one;
    };
    damper::Curve curve;
    curve.points = {point(-3, false), point(-2, false), point(-1, true),
                    point(1, true),   point(2, false),  point(3, true)};
    CHECK(no_solution(curve) ==
          std::vector<std::string>{"No solution on compression at 1 of 3 speeds: why at 2.",
                                   "No solution on rebound from 2 m/s on: why at -2."});
    curve.points = {point(-1, true), point(1, true)};
    CHECK(no_solution(curve).empty());
}

TEST_CASE("a damper partly without solution says so in the answer", "[report][demo]") {
    // Ports so small that the oil behind them would stand at more than is computed, at the fastest alone.
    const std::string file = stacks + "rally-fork.yaml";
    const std::vector<setup::Override> throttled{{"valves.piston.rebound.ports.area", "0.8 mm2"},
                                                 {"valves.piston.rebound.bleed.needle.clicks", "0"}};
    damper::LiftCache lifts(quick);
    const Page alone = page({{file, throttled}}, {}, lifts);
    CHECK_FALSE(alone.is_complete);
    const Json& points = alone.data.at("setups").at(0).at("curve").at("points");
    double slowest = std::numeric_limits<double>::infinity();
    for (const Json& point : points)
        if (!point.at("error").is_null())
            slowest = std::min(slowest, std::abs(point.at("speed_m_s").get<double>()));
    REQUIRE(std::isfinite(slowest));
    const std::string start =
        fmt::format("No solution on rebound from {} m/s on: at -{} m/s", slowest, slowest);
    const auto starts = [&](const std::string& begin) {
        return [begin](const Json& text) { return text.get<std::string>().find(begin) == 0; };
    };
    const Json& answer = alone.data.at("answer");
    CHECK(std::count_if(answer.begin(), answer.end(), starts(start)) == 1);
    // The adjusters, warm oil, wear and the map fail for the same cause.
    const Json& left_out = alone.data.at("setups").at(0).at("left_out");
    REQUIRE(left_out.size() == 1);
    CHECK_THAT(left_out.at(0).get<std::string>(),
               contains_text(" at 0, 6, 10, 12, 18, 24; piston.rebound at 0"));

    const Page both = page({{file, {}}, {file, throttled}}, {}, lifts);
    const Json& said = both.data.at("answer");
    CHECK(std::count_if(said.begin(), said.end(), starts("B. " + start)) == 1);
    CHECK(std::count_if(said.begin(), said.end(), starts("A. No solution")) == 0);
}

TEST_CASE("a page of one valve alone says what it leaves out", "[report]") {
    const std::string file = tests::file_with(
        "one-valve.yaml",
        "format: 1\ntitle: one\nvalve: {ports: {count: 4, area: 24}, zone: {inner: 18, outer: "
        "24}, seat: {inner: 24, outer: 25}, clamp: 12, shims: [26 x 0.2, 20 x 0.2]}\n");
    damper::LiftCache lifts(quick);
    const Page one = page({{file, {}}}, {}, lifts);
    const Json& setup = one.data.at("setups").at(0);
    CHECK(setup.at("curve").is_null());
    CHECK(setup.at("support").is_null());
    CHECK(setup.at("fade").is_null());
    CHECK(setup.at("wear").is_null());
    CHECK(setup.at("map").is_null());
    CHECK(setup.at("unit").is_null());
    CHECK(setup.at("families").empty());
    CHECK(setup.at("sections").size() == 1);
    CHECK_FALSE(setup.at("lift").at("points").empty());
    CHECK(setup.at("left_out").size() == 1);
    CHECK_THROWS_AS(page({}, {}, lifts), std::invalid_argument);
}

TEST_CASE("what cannot be solved is left out of a page, and the rest stays", "[report][demo]") {
    // A seat so proud bends the stack further than the theory bears, already at rest.
    const std::vector<setup::Override> dished{{"valves.base.compression.seat.height", "5 mm"}};
    const std::string file = stacks + "rally-fork.yaml";
    damper::LiftCache lifts({.max_pressure = 5e5}); // short curves are quicker
    const Page alone = page({{file, dished}}, {}, lifts);
    CHECK_FALSE(alone.is_complete);
    const Json& setup = alone.data.at("setups").at(0);
    CHECK(setup.at("curve").is_null());
    CHECK_FALSE(setup.at("support").is_null());
    CHECK(setup.at("sections").at(0).at("error") != "");
    CHECK(setup.at("sections").at(1).at("error") == "");
    CHECK(alone.data.at("answer").at(0).get<std::string>().find("Forces and pressures: ") == 0);

    const Page both = page({{file, {}}, {file, dished}}, {}, lifts);
    CHECK_FALSE(both.is_complete);
    CHECK(both.data.at("comparison").is_null());
    CHECK(both.data.at("answer").at(0).get<std::string>().find("Not compared: ") == 0);
    CHECK_FALSE(both.data.at("setups").at(0).at("curve").is_null());
}
