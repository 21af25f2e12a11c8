#include <support/catch.hpp>
#include <valve/report/reading.hpp>
#include <valve/report/stress.hpp>

#include <string>
#include <vector>

using namespace valve;

TEST_CASE("a curve names the shims that keep a set or break, and from which speed", "[report]") {
    // Only the mid-valve's strip states its limits: a set at 4 bar on its face shim or more, at some speed.
    const setup::Reading reading =
        setup::read(setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml",
                                          {{"valves.piston.compression.material.yield", "400 MPa"}}));
    damper::LiftCache lifts;
    const damper::Model model = lifts.model(report::unit_of("fork", reading));
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
    // The speed named is the first whose pressure on the face shim passes the limit.
    double first = 0.0;
    for (const double speed : speeds) {
        const double flow = model.annulus_area() * speed;
        if (model.piston(damper::Stroke::compression).at_flow(flow).p_eff <= set->pressure) continue;
        first = speed;
        break;
    }
    REQUIRE(first > 0.0);
    CHECK(warnings[0].find("At " + std::to_string(first).substr(0, 4) + " m/s") == 0);
}
