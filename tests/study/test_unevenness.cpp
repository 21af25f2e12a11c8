#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/inspection.hpp>
#include <valve/report/unevenness.hpp>
#include <valve/study/comparison.hpp>
#include <valve/study/curve.hpp>
#include <valve/study/inspection.hpp>
#include <valve/study/unevenness.hpp>

#include <algorithm>
#include <string>

using namespace valve;

namespace {

setup::Document demo() {
    return setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml");
}

const study::Unevenness& of(const std::vector<study::Unevenness>& all, const std::string& place) {
    const auto found = std::find_if(all.begin(), all.end(),
                                    [&](const study::Unevenness& valve) { return valve.place == place; });
    REQUIRE(found != all.end());
    return *found;
}

} // namespace

TEST_CASE("curve tells from which rod speed a stack is in waves, whatever speeds are asked",
          "[study][demo]") {
    damper::LiftCache lifts;
    const study::CurveResult few =
        study::curve_result("fork", setup::read(demo()), {.speeds = {-0.5, 0.5}}, lifts);
    const study::CurveResult others =
        study::curve_result("fork", setup::read(demo()), {.speeds = {-3.0, 1.0, 3.9}}, lifts);
    const damper::Model model = lifts.model(*few.reading.unit);
    REQUIRE(few.not_round.size() == others.not_round.size());
    for (const char* place : {"piston.compression", "piston.rebound"}) {
        const study::Unevenness& waves = of(few.not_round, place);
        REQUIRE(waves.speed);
        CHECK(*waves.speed == *of(others.not_round, place).speed);
        CHECK(waves.mean == of(others.not_round, place).mean);
        CHECK_FALSE(waves.over_ports);

        // A root: the face shim has that pressure there, and the stack is in waves from there on.
        const double sign = std::string(place) == "piston.rebound" ? -1.0 : 1.0;
        const auto pressure = [&](double speed) {
            return damper::network_state(model, sign * speed, few.curve.travel).piston.p_eff;
        };
        CHECK_THAT(pressure(*waves.speed), WithinRel(waves.pressure, 1e-9));
        CHECK(pressure(0.999 * *waves.speed) < waves.pressure);
        const auto& valve =
            model.setup()
                .valves[sign < 0.0 ? damper::Place::piston_rebound : damper::Place::piston_compression];
        const auto solution = lifts.solution(valve->stack);
        CHECK_FALSE(solution->uneven(0.995 * waves.pressure));
        CHECK(solution->uneven(1.05 * waves.pressure));
        CHECK(solution->waves_up_to(waves.highest_pressure)->count == waves.waves);

        // As far as it goes, at the top speed of this damper.
        CHECK_THAT(waves.highest_pressure, WithinRel(pressure(4.0), 1e-9));
        REQUIRE((waves.mean && waves.crest && waves.trough));
        CHECK(*waves.trough < 0.9 * *waves.mean);
        CHECK(*waves.crest > 1.1 * *waves.mean);
    }
    const std::string text = report::text(few);
    CHECK_THAT(text, contains_text("piston.compression bends into 3 waves round the ring from 2.7"));
    const report::Json rows = report::json(few).at("not_round");
    CHECK(rows.at(0).at("valve") == "piston.compression");
    CHECK(rows.at(0).at("from_speed_m_s") == *few.not_round.front().speed);
    CHECK(rows.at(0).at("says") == report::sentence(few.not_round.front()));

    // Below that speed there is nothing to tell, nor of what is taken for round.
    CHECK(study::curve_result("fork", setup::read(demo()), {.speeds = {0.5}, .top_speed = 2.5}, lifts)
              .not_round.empty());
    damper::LiftCache round({.shape = stack::Shape::round});
    CHECK(study::unevenness(setup::read(demo()), round).empty());
    damper::LiftCache linear({.theory = stack::Theory::linear});
    CHECK(study::unevenness(setup::read(demo()), linear).empty());

    // inspect asks the same at mid travel; compare of its set-ups.
    const study::Inspection inspected = study::inspection("fork", setup::read(demo()), lifts);
    CHECK(of(inspected.not_round, "piston.rebound").speed == of(few.not_round, "piston.rebound").speed);
    CHECK_THAT(report::text(inspected), contains_text("\nStacks that do not stay round\n"));
    const study::Comparison same = study::compare({demo(), demo()}, {}, lifts);
    CHECK_THAT(report::text(same), contains_text("A and B: piston.compression bends into 3 waves"));
    CHECK(report::json(same).at("setups").at(1).at("not_round") == rows);
}

TEST_CASE("curve tells from which rod speed open arcs lift, and from which their land", "[study][demo]") {
    setup::Reading reading = setup::read(demo());
    flow::Valve& valve = *reading.unit->valves[damper::Place::piston_rebound];
    valve.stack.windows = 4;
    valve.stack.coverage = 0.5;
    valve.stack.seat.height = 0.05e-3;
    damper::LiftCache lifts;
    const std::vector<study::Unevenness> all = study::unevenness(reading, lifts);
    const study::Unevenness& bent = of(all, "piston.rebound");
    CHECK(bent.over_ports);
    CHECK(bent.waves == 4);
    REQUIRE((bent.speed && bent.land_pressure && bent.land_speed));
    CHECK(*bent.speed > 0.0);
    CHECK(*bent.land_speed > *bent.speed);

    const auto solution = lifts.solution(valve.stack);
    const auto lift = [&](double pressure) { return solution->uneven(pressure).value(); };
    CHECK_THAT(lift(0.99 * bent.pressure).mid_port, WithinAbs(0.0, 1e-9));
    CHECK(lift(1.1 * bent.pressure).mid_port > 1e-8);
    CHECK_THAT(lift(0.99 * *bent.land_pressure).mid_land, WithinAbs(0.0, 1e-9));
    CHECK(lift(1.1 * *bent.land_pressure).mid_land > 1e-8);
    // Highest where the oil comes out, lowest where the land holds.
    REQUIRE((bent.crest && bent.mean && bent.trough));
    CHECK(*bent.crest > *bent.mean);
    CHECK(*bent.mean > *bent.trough);
    CHECK(*bent.crest == lift(bent.highest_pressure).mid_port);
    const damper::Model model = lifts.model(*reading.unit);
    const double travel = 0.5 * reading.unit->cartridge.travel;
    CHECK_THAT(damper::network_state(model, -*bent.land_speed, travel).piston.p_eff,
               WithinRel(*bent.land_pressure, 1e-9));
}

TEST_CASE("what is not round is said in one sentence", "[report]") {
    study::Unevenness valve{.place = "piston.rebound", .waves = 3, .pressure = 10.71e5, .speed = 2.571};
    CHECK(report::sentence(valve) ==
          "piston.rebound bends into 3 waves round the ring from 2.57 m/s on (10.71 bar on the face shim)");
    valve.top_speed = 4.0;
    valve.highest_pressure = 15.3e5;
    valve.mean = 0.4123e-3;
    valve.crest = 0.55e-3;
    valve.trough = 0.2e-3;
    CHECK_THAT(report::sentence(valve),
               contains_text("At 15.30 bar, the most up to 4 m/s, it lifts 0.412 mm in the mean, 0.550 mm at "
                             "the crests and 0.200 mm in the troughs"));
    valve.over_ports = true;
    valve.speed = 0.0;
    CHECK_THAT(report::sentence(valve),
               contains_text("opens at the middle of its 3 ports from the first movement on, and does not "
                             "leave its land half-way between two of them.") &&
                   contains_text("0.550 mm at mid-port and 0.200 mm at mid-land"));
    valve.land_pressure = 12e5;
    valve.land_speed = 3.2;
    CHECK_THAT(report::sentence(valve),
               contains_text("and leaves its land half-way between two of them from 3.20 m/s on (12.00 bar"));
    valve.land_pressure = valve.pressure;
    CHECK_THAT(report::sentence(valve), contains_text("and leaves its land between them at once"));
    valve.speed.reset(); // of a valve alone
    valve.land_speed.reset();
    valve.land_pressure = 12e5;
    valve.top_speed.reset();
    CHECK_THAT(report::sentence(valve), contains_text("its 3 ports from 10.71 bar on, and leaves its land "
                                                      "half-way between two of them from 12.00 bar on. At "
                                                      "15.30 bar, where its law ends, it lifts"));
}
