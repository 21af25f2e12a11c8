#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/inspection.hpp>
#include <valve/study/curve.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <string>
#include <vector>

using namespace valve;

// Common practice, no source.
TEST_CASE("where a file alone is asked, shims are followed up to a rod speed of 4 m/s", "[study]") {
    const auto told = [](const std::string& yield) {
        damper::LiftCache lifts({.theory = stack::Theory::linear});
        const setup::Reading reading = setup::read(
            setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork-both.yaml",
                                  {{"valves.base.compression.material", "null"},
                                   {"valves.base.refill.material", "null"},
                                   {"valves.piston.rebound.material", "null"},
                                   {"valves.piston.compression.material", "{yield: " + yield + "}"}}));
        const study::UsualSearch usual(study::unit_of("fork", reading), lifts);
        CHECK(usual.search.top_speed() == 4.0);
        const std::vector<study::Warning> warnings = study::stress_warnings(reading, lifts);
        return warnings.empty() ? std::nullopt : warnings.front().speed;
    };
    const std::optional<double> soft = told("300 MPa");
    REQUIRE(soft);
    CHECK(*soft < 4.0);
    CHECK_FALSE(told("5000 MPa")); // none up to there
}

TEST_CASE("a curve names the shims that keep a set or break, and from which speed", "[study]") {
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

    damper::OnsetSearch slow(model, 0.15, 0.2);
    CHECK(study::stress_warnings(slow, lifts).empty());

    damper::OnsetSearch fast(model, 0.15, 4.0);
    const std::vector<study::Warning> warnings = study::stress_warnings(fast, lifts);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].kind == study::WarningKind::shim_keeps_set);
    CHECK(warnings[0].place == "piston.compression");
    CHECK(warnings[0].pressure == set->pressure);
    const std::optional<double> onset = study::stress_onset(fast, study::StripLimit::set, lifts);
    REQUIRE(onset);
    CHECK(warnings[0].speed == onset);
    CHECK_FALSE(study::stress_onset(fast, study::StripLimit::fatigue, lifts)); // no strip states one
    // A root: just below it the pressure on the face shim is below the limit, at it beyond.
    const auto pressure = [&](double speed) { return damper::steady_point(model, speed, 0.15).piston.p_eff; };
    CHECK(pressure(*onset * (1.0 - 1e-6)) < set->pressure);
    CHECK(pressure(*onset * (1.0 + 1e-6)) > set->pressure);
    // And the same whatever speeds a curve is asked for.
    for (const std::vector<double>& speeds : {std::vector<double>{-3.0}, {-1.0, 1.0}, {}}) {
        const study::CurveResult curve = study::curve_result("fork", reading, {.speeds = speeds}, lifts);
        const auto told = std::find_if(curve.warnings.begin(), curve.warnings.end(), [](const auto& warning) {
            return warning.kind == study::WarningKind::shim_keeps_set;
        });
        REQUIRE(told != curve.warnings.end());
        CHECK(told->speed == onset);
    }
}

TEST_CASE("where a search breaks off, shims are not told to be sound beyond", "[study]") {
    // A base whose curve ends early, and strips that pass no limit before.
    const setup::Reading reading =
        setup::read(setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml",
                                          {{"valves.base.compression.shims", "[24 x 0.10]"},
                                           {"valves.base.compression.material", "{E: 15 GPa, yield: 5 GPa}"},
                                           {"valves.base.compression.curtain_length", "1.5 mm"},
                                           {"valves.base.refill.material", "null"},
                                           {"valves.piston.rebound.material", "null"},
                                           {"valves.piston.compression.material", "null"}}));
    damper::LiftCache lifts;
    const damper::Model model = lifts.model(study::unit_of("fork", reading));
    damper::OnsetSearch search(model, 0.15, 4.0);
    const damper::Onset end = search.pressure_above(damper::Place::base_compression, 1e12);
    REQUIRE(end.kind == damper::Onset::Kind::ended);
    CHECK_THROWS_AS(study::stress_onset(search, study::StripLimit::set, lifts), SolveError);
    CHECK_FALSE(study::stress_onset(search, study::StripLimit::fatigue, lifts)); // no strip states one
    const std::vector<study::Warning> warnings = study::stress_warnings(search, lifts);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].kind == study::WarningKind::stress_unknown);
    CHECK(warnings[0].speed == end.speed);
    damper::OnsetSearch slow(model, 0.15, 0.5 * end.speed);
    CHECK(study::stress_warnings(slow, lifts).empty());
    CHECK_FALSE(study::stress_onset(slow, study::StripLimit::set, lifts));
}

TEST_CASE("inspect says from which pressure a strip's limit is passed, if a strip states one", "[study]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml";
    damper::LiftCache lifts;
    const setup::Reading silent = setup::read(setup::Document::load(file));
    CHECK_FALSE(study::states_limits(silent));
    CHECK(study::stress_warnings(silent, lifts).empty());
    CHECK(lifts.size() == 0);
    CHECK_THAT(report::text(study::inspection(file, silent, lifts)), contains_text("no stress is judged"));

    const setup::Reading stated = setup::read(setup::Document::load(
        file, {{"valves.piston.rebound.material", "{yield: 900 MPa, fatigue: 500 MPa}"}}));
    const study::Inspection found = study::inspection(file, stated, lifts);
    REQUIRE(found.stress_warnings.size() == 2);
    const auto& stack = stated.unit->valves[damper::Place::piston_rebound]->stack;
    CHECK(found.stress_warnings[0].kind == study::WarningKind::shim_keeps_set);
    CHECK(found.stress_warnings[0].place == "piston.rebound");
    CHECK(found.stress_warnings[0].pressure == lifts.curve(stack).set->pressure);
    // What no speed reaches is no warning.
    const setup::Reading strong = setup::read(
        setup::Document::load(file, {{"valves.base.refill.material", "{yield: 900 MPa, fatigue: 500 MPa}"}}));
    CHECK(study::states_limits(strong));
    CHECK(study::inspection(file, strong, lifts).stress_warnings.empty());
    CHECK(found.stress_warnings[1].kind == study::WarningKind::shim_life_ends);
    CHECK(report::json(found).at("warnings").size() == 2);
}

TEST_CASE("compare tells from which rod speed shims pass their limits, where all set-ups state one",
          "[study]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml";
    const std::vector<setup::Override> strip{
        {"valves.piston.rebound.material", "{yield: 900 MPa, fatigue: 500 MPa}"}};
    std::vector<setup::Override> thinner = strip;
    thinner.push_back({"valves.piston.rebound.shims", "[21 x 0.15, 19 x 0.15, 11 x 0.20]"});
    damper::LiftCache lifts({.theory = stack::Theory::linear});
    const study::Comparison both =
        study::compare({setup::Document::load(file, strip), setup::Document::load(file, thinner)}, {}, lifts);
    const auto told = [](const study::Headline& headline) {
        return std::count_if(headline.figures.begin(), headline.figures.end(),
                             [](const study::Figure& figure) {
                                 return figure.quantity == study::Quantity::shims_set_from ||
                                        figure.quantity == study::Quantity::shims_life_from;
                             });
    };
    CHECK(told(both.setups[0].headline) == 2);
    const auto changed = std::find_if(
        both.variants[0].changes.begin(), both.variants[0].changes.end(),
        [](const study::Change& change) { return change.to.quantity == study::Quantity::shims_life_from; });
    REQUIRE(changed != both.variants[0].changes.end());
    CHECK(changed->because == std::vector<std::string>{"valves.piston.rebound.shims"});

    const study::Comparison one =
        study::compare({setup::Document::load(file),
                        setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml")},
                       {}, lifts);
    CHECK(told(one.setups[0].headline) == 0);
}

TEST_CASE("curve and compare tell from which rod speed a stack buckles into waves", "[study][demo]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml";
    const setup::Document document = setup::Document::load(file);
    damper::LiftCache lifts({.shape = stack::Shape::round});
    const damper::Model model = lifts.model(*setup::read(document).unit);
    const auto& valve = model.setup().valves[damper::Place::piston_rebound];
    const std::optional<stack::Waves> waves = lifts.waves(valve->stack, 200e5);
    REQUIRE(waves);
    CHECK(waves->count >= 2);
    damper::OnsetSearch search(model, 0.5 * model.setup().cartridge.travel, 4.0);
    const std::vector<study::Warning> warnings = study::wave_warnings(search, lifts);
    const auto told = std::find_if(warnings.begin(), warnings.end(), [](const study::Warning& warning) {
        return warning.kind == study::WarningKind::buckles && warning.place == "piston.rebound";
    });
    REQUIRE(told != warnings.end());
    CHECK(told->pressure == waves->pressure);
    CHECK(told->count == waves->count);
    const study::Comparison same = study::compare({document, document}, {}, lifts);
    CHECK_THAT(report::text(same), contains_text("warning: A and B: At ") && contains_text("buckles into"));

    // As it bends the forces say it.
    damper::LiftCache as_it_bends;
    const damper::Model bent = as_it_bends.model(*setup::read(document).unit);
    damper::OnsetSearch among_waves(bent, 0.5 * model.setup().cartridge.travel, 4.0);
    CHECK(study::wave_warnings(among_waves, as_it_bends).empty());
    CHECK_FALSE(study::stress_warnings(among_waves, as_it_bends).empty());

    // Linear plates never do.
    damper::LiftCache linear({.theory = stack::Theory::linear});
    CHECK_FALSE(linear.waves(valve->stack, 200e5));
}

TEST_CASE("curve tells from which rod speed waves over the ports are beyond the harmonics", "[study][demo]") {
    const setup::Document document =
        setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml");
    damper::SetUp setup = *setup::read(document).unit;
    flow::Valve& valve = *setup.valves[damper::Place::piston_rebound];
    valve.stack.windows = 4;
    valve.stack.coverage = 0.5;
    valve.curtain_length = 60e-3;
    damper::LiftCache lifts({.shape = stack::Shape::round});
    const damper::Model model = lifts.model(setup);
    const std::optional<double> end = lifts.windows_hold_until(valve);
    REQUIRE(end);
    damper::OnsetSearch search(model, 0.5 * setup.cartridge.travel, 4.0);
    const std::vector<study::Warning> warnings = study::wave_warnings(search, lifts);
    const auto told = std::find_if(warnings.begin(), warnings.end(), [](const study::Warning& warning) {
        return warning.kind == study::WarningKind::waves_over_ports && warning.place == "piston.rebound";
    });
    REQUIRE(told != warnings.end());
    CHECK(told->pressure == *end);

    // A seat that is one ring opens by its mean, whatever its ports.
    valve.curtain_length.reset();
    CHECK_FALSE(lifts.windows_hold_until(valve));
    valve.curtain_length = 60e-3;
    CHECK_FALSE(damper::LiftCache().windows_hold_until(valve)); // made of no harmonics
}
