#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/inspection.hpp>
#include <valve/report/stress.hpp>
#include <valve/report/text.hpp>
#include <valve/study/reading.hpp>

#include <algorithm>
#include <string>
#include <vector>

using namespace valve;

TEST_CASE("a curve names the shims that keep a set or break, and from which speed", "[report]") {
    // Only the mid-valve's strip states a limit: a set at 4 bar on its face shim or more, at some speed.
    const setup::Reading reading =
        setup::read(setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml",
                                          {{"valves.base.compression.material", "null"},
                                           {"valves.base.refill.material", "null"},
                                           {"valves.piston.rebound.material", "null"},
                                           {"valves.piston.compression.material", "{yield: 400 MPa}"}}));
    damper::LiftCache lifts;
    const damper::Model model = lifts.model(study::unit_of("fork", reading));
    const auto& valve = model.setup().valves[damper::Place::piston_compression];
    const std::optional<stack::StressLimit>& set = lifts.curve(valve->stack).set;
    REQUIRE(set);

    const damper::Curve slow = damper::steady_curve(model, {.speeds = {-0.2, 0.2}});
    CHECK(report::stress_warnings(model, slow, lifts).empty());

    const std::vector<double> speeds{0.5, 1.0, 2.0, 3.0, 4.0};
    const damper::Curve fast = damper::steady_curve(model, {.speeds = speeds});
    const std::vector<std::string> warnings = report::stress_warnings(model, fast, lifts);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].find("piston.compression keeps a set") != std::string::npos);
    // The speed named lies between the last one of the curve below the limit and the first beyond.
    const auto pressure = [&](double speed) {
        return model.piston().at_flow(model.annulus_area() * speed).p_eff;
    };
    const report::StressOnset onset = report::stress_onset(model, fast, lifts);
    REQUIRE(onset.set);
    CHECK_FALSE(onset.fatigue); // no strip states one
    const auto beyond = std::find_if(speeds.begin(), speeds.end(),
                                     [&](double speed) { return pressure(speed) > set->pressure; });
    REQUIRE(beyond != speeds.end());
    REQUIRE(beyond != speeds.begin());
    CHECK(*onset.set <= *beyond);
    CHECK(*onset.set >= *std::prev(beyond));
}

TEST_CASE("inspect says from which pressure a strip's limit is passed, if a strip states one", "[report]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml";
    damper::LiftCache lifts;
    const setup::Reading silent = setup::read(setup::Document::load(file));
    CHECK_FALSE(report::states_limits(silent));
    CHECK(report::stress_warnings(silent, lifts).empty());
    CHECK(lifts.size() == 0);
    CHECK_THAT(report::text(report::inspection(file, silent, lifts)), contains_text("no stress is judged"));

    const setup::Reading stated = setup::read(setup::Document::load(
        file, {{"valves.piston.rebound.material", "{yield: 900 MPa, fatigue: 500 MPa}"}}));
    const report::Inspection found = report::inspection(file, stated, lifts);
    REQUIRE(found.stress_warnings.size() == 2);
    const auto& stack = stated.unit->valves[damper::Place::piston_rebound]->stack;
    CHECK_THAT(found.stress_warnings[0],
               contains_text("of piston.rebound keeps a set") &&
                   contains_text(report::bar(lifts.curve(stack).set->pressure) + " bar on the face shim"));
    // What no speed reaches is no warning.
    const setup::Reading strong = setup::read(
        setup::Document::load(file, {{"valves.base.refill.material", "{yield: 900 MPa, fatigue: 500 MPa}"}}));
    CHECK(report::states_limits(strong));
    CHECK(report::inspection(file, strong, lifts).stress_warnings.empty());
    CHECK_THAT(found.stress_warnings[1], contains_text("beyond endless life"));
    CHECK(report::json(found).at("warnings").size() == 2);
}

TEST_CASE("compare tells from which rod speed shims pass their limits, where all set-ups state one",
          "[report]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml";
    const std::vector<setup::Override> strip{
        {"valves.piston.rebound.material", "{yield: 900 MPa, fatigue: 500 MPa}"}};
    std::vector<setup::Override> thinner = strip;
    thinner.push_back({"valves.piston.rebound.shims", "[21 x 0.15, 19 x 0.15, 11 x 0.20]"});
    damper::LiftCache lifts({.theory = stack::Theory::linear});
    const report::Comparison both = report::compare(
        {setup::Document::load(file, strip), setup::Document::load(file, thinner)}, {}, lifts);
    const auto told = [](const report::Headline& headline) {
        return std::count_if(headline.figures.begin(), headline.figures.end(),
                             [](const report::Figure& figure) {
                                 return figure.quantity == report::Quantity::shims_set_from ||
                                        figure.quantity == report::Quantity::shims_life_from;
                             });
    };
    CHECK(told(both.setups[0].headline) == 2);
    const auto changed = std::find_if(
        both.variants[0].changes.begin(), both.variants[0].changes.end(),
        [](const report::Change& change) { return change.to.quantity == report::Quantity::shims_life_from; });
    REQUIRE(changed != both.variants[0].changes.end());
    CHECK(changed->because == std::vector<std::string>{"valves.piston.rebound.shims"});

    const report::Comparison one =
        report::compare({setup::Document::load(file),
                         setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml")},
                        {}, lifts);
    CHECK(told(one.setups[0].headline) == 0);
}

TEST_CASE("curve and compare tell from which rod speed a stack buckles into waves", "[report][demo]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml";
    const setup::Document document = setup::Document::load(file);
    damper::LiftCache lifts;
    const damper::Model model = lifts.model(*setup::read(document).unit);
    const auto& valve = model.setup().valves[damper::Place::piston_rebound];
    const std::optional<stack::Waves> waves = lifts.waves(valve->stack);
    REQUIRE(waves);
    CHECK(waves->count >= 2);
    const damper::Curve curve = damper::steady_curve(model);
    const std::vector<std::string> warnings = report::wave_warnings(model, curve, lifts);
    const auto told = std::find_if(warnings.begin(), warnings.end(), [](const std::string& warning) {
        return warning.find("piston.rebound buckles into") != std::string::npos;
    });
    REQUIRE(told != warnings.end());
    CHECK_THAT(*told, contains_text(report::bar(waves->pressure) + " bar on the face shim"));
    const report::Comparison same = report::compare({document, document}, {}, lifts);
    CHECK_THAT(report::text(same), contains_text("warning: A and B: At ") && contains_text("buckles into"));

    // Linear plates never do.
    damper::LiftCache linear({.theory = stack::Theory::linear});
    CHECK_FALSE(linear.waves(valve->stack));
}

TEST_CASE("curve tells from which rod speed waves over the ports are beyond the harmonics",
          "[report][demo]") {
    const setup::Document document =
        setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml");
    damper::SetUp setup = *setup::read(document).unit;
    flow::Valve& valve = *setup.valves[damper::Place::piston_rebound];
    valve.stack.windows = 4;
    valve.stack.coverage = 0.5;
    valve.curtain_length = 60e-3;
    damper::LiftCache lifts;
    const damper::Model model = lifts.model(setup);
    const std::optional<double> end = lifts.windows_hold_until(valve);
    REQUIRE(end);
    const std::vector<std::string> warnings =
        report::wave_warnings(model, damper::steady_curve(model), lifts);
    const auto told = std::find_if(warnings.begin(), warnings.end(), [](const std::string& warning) {
        return warning.find("the waves of piston.rebound over its ports") != std::string::npos;
    });
    REQUIRE(told != warnings.end());
    CHECK_THAT(*told, contains_text("from " + report::bar(*end) + " bar on the face shim"));

    // A seat that is one ring opens by its mean, whatever its ports.
    valve.curtain_length.reset();
    CHECK_FALSE(lifts.windows_hold_until(valve));
}
