#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/shims.hpp>

#include <numbers>

using namespace valve;

namespace {

constexpr double rounding = 1e-14; // of a handful of products

/// A valve alone, with `lines` among its keys.
setup::Reading read_valve(const std::string& lines) {
    const Folder folder;
    return setup::read(
        setup::Document::load(folder.write("valve.yaml", "format: 1\n"
                                                         "valve:\n"
                                                         "  zone: {inner: 14 mm, outer: 22 mm}\n"
                                                         "  seat: {inner: 22 mm, outer: 23 mm}\n" +
                                                             lines)));
}

stack::Stack stack_of(const std::string& lines) {
    return read_valve(lines).valve->stack;
}

const std::string clamped = "  clamp: 12 mm\n  shims: [24 x 0.15]\n";

} // namespace

TEST_CASE("a shim is named the same wherever it is, and inches keep their digits", "[setup]") {
    CHECK(setup::shim_text(24e-3, 0.15e-3) == "24 x 0.15");
    CHECK(setup::shim_text(16e-3, 0.2e-3) == "16 x 0.20");
    CHECK(setup::shim_text(16e-3, 1e-3) == "16 x 1.00");
    CHECK(setup::shim_text(24e-3, 0.125e-3) == "24 x 0.125");
    CHECK(setup::shim_text(0.945 * 0.0254, 0.006 * 0.0254) == "24.003 x 0.1524"); // 1 in = 25.4 mm
}

TEST_CASE("a valve alone needs no ports, and may bring its oil", "[setup][valve]") {
    const setup::Reading reading = read_valve(clamped);
    REQUIRE(reading.valve);
    CHECK_FALSE(reading.unit);
    CHECK_FALSE(reading.oil);
    CHECK(reading.title == "valve.yaml");
    CHECK(reading.valve->ports.count == 0);
    CHECK(default_of(reading, "valve.material.E") == "206 GPa");
    CHECK(default_of(reading, "valve.jet_force").empty()); // without ports it counts for nothing

    const setup::Reading with_oil =
        read_valve(clamped + "  ports: {count: 4, area: 13 mm2}\n"
                             "oil: {density: 850, viscosity: {40: 16, 100: 3.9}}\n");
    REQUIRE(with_oil.oil);
    CHECK(with_oil.oil->density_15 == 850.0);
    CHECK(with_oil.valve->ports.count == 4);
    CHECK(default_of(with_oil, "valve.jet_force") == "0.3");
}

TEST_CASE("a shim is written in several ways", "[setup][valve]") {
    const stack::Stack stack = stack_of("  clamp: 12 mm\n"
                                        "  shims:\n"
                                        "    - 2 * 24 x 0.15\n"
                                        "    - 24×0.15\n"
                                        "    - 24 mm x 0.15 mm\n"
                                        "    - 1*24x0.15\n"
                                        "    - {outer: 24, thickness: 150 um, count: 2}\n"
                                        "    - 0.94 in x 0.006 in\n");
    REQUIRE(stack.shims.size() == 8);
    for (std::size_t i = 0; i < 7; ++i)
        CHECK(stack.shims[i] == stack.shims[0]);
    CHECK_THAT(stack.shims[0].outer_radius, WithinRel(12e-3, rounding));
    CHECK_THAT(stack.shims[0].thickness, WithinRel(0.15e-3, rounding));
    CHECK_THAT(stack.shims[7].outer_radius, WithinRel(11.938e-3, rounding));
    CHECK_THAT(stack.shims[7].thickness, WithinRel(0.1524e-3, rounding));
}

TEST_CASE("a shim's material starts from the stack's, and that from the strip's", "[setup][valve]") {
    const setup::Reading reading =
        read_valve("  clamp: 12 mm\n"
                   "  shims: [24 x 0.15, {outer: 22, thickness: 0.2, material: {nu: 0.25}}]\n"
                   "  material: {E: 200 GPa, yield: 1500 MPa, fatigue: 700 N/mm2}\n");
    const stack::Stack& stack = reading.valve->stack;
    CHECK_THAT(stack.shims[0].material.youngs_modulus, WithinRel(200e9, rounding));
    CHECK(stack.shims[0].material.poisson_ratio == 0.3);
    CHECK(stack.shims[0].material.density == 7850.0);
    CHECK_THAT(stack.shims[0].material.yield_strength.value(), WithinRel(1500e6, rounding));
    CHECK_THAT(stack.shims[0].material.fatigue_limit.value(), WithinRel(700e6, rounding));
    CHECK_THAT(stack.shims[1].material.youngs_modulus, WithinRel(200e9, rounding));
    CHECK(stack.shims[1].material.poisson_ratio == 0.25);
    CHECK(default_of(reading, "valve.material.E").empty());
    CHECK(default_of(reading, "valve.material.nu") == "0.3");
}

TEST_CASE("ports are holes or kidney windows", "[setup][valve]") {
    const setup::Reading holes = read_valve(clamped + "  ports: {count: 3, diameter: 4 mm}\n");
    CHECK_THAT(holes.valve->ports.area_each, WithinRel(std::numbers::pi * 4e-6, rounding));
    CHECK(holes.valve->stack.coverage == 1.0);
    CHECK(default_of(holes, "valve.coverage") == "1");

    // Three windows of 60° between 14 and 22 mm: half the ring, each a sixth of π (11² − 7²) mm².
    const std::string windows = "  ports: {count: 3, inner: 14 mm, outer: 22 mm, arc: 60 deg}\n";
    const setup::Reading kidney = read_valve(clamped + windows);
    CHECK_THAT(kidney.valve->ports.area_each, WithinRel(std::numbers::pi * 72e-6 / 6.0, rounding));
    CHECK_THAT(kidney.valve->stack.coverage, WithinRel(0.5, rounding));
    CHECK_FALSE(default_of(kidney, "valve.coverage").empty());

    const setup::Reading written = read_valve(clamped + windows + "  coverage: 55 %\n");
    CHECK_THAT(written.valve->stack.coverage, WithinRel(0.55, rounding));
    CHECK(default_of(written, "valve.coverage").empty());
}

TEST_CASE("ports of an arc or a diameter are windows where they open a part of the ring", "[setup][valve]") {
    const std::string kidneys = "  ports: {count: 3, inner: 14 mm, outer: 22 mm, arc: 60 deg}\n";
    const std::string holes = "  ports: {count: 4, diameter: 4 mm}\n";
    const std::string part = "  coverage: 40 %\n";
    CHECK(stack_of(clamped + kidneys).windows == 3);
    CHECK(stack_of(clamped + kidneys + part).windows == 3);
    CHECK(stack_of(clamped + holes + part).windows == 4);
    CHECK(stack_of(clamped + holes).windows == 0); // they feed one ring, unless the file says otherwise
    CHECK(stack_of(clamped + "  ports: {count: 4, inner: 14 mm, outer: 22 mm, arc: 90 deg}\n").windows == 0);
    CHECK(stack_of(clamped + "  ports: {count: 4, area: 13 mm2}\n" + part).windows == 0); // how wide?
    CHECK(stack_of(clamped + part).windows == 0);
}

TEST_CASE("the rings of a float follow from each other", "[setup][valve]") {
    const std::string shims = "  shims: [24 x 0.15]\n";
    const stack::Stack only_clamp = stack_of(shims + "  clamp: 13 mm\n  float: {travel: 1 mm}\n");
    CHECK_THAT(only_clamp.floating->ring_radius, WithinRel(6.5e-3, rounding));
    CHECK_THAT(only_clamp.floating->spring_radius, WithinRel(6.5e-3, rounding));
    CHECK_THAT(only_clamp.floating->stop_radius, WithinRel(6.5e-3, rounding));
    CHECK_THAT(only_clamp.bore_radius, WithinRel(6.5e-3, rounding));
    CHECK(only_clamp.floating->spring_rate == 0.0);
    CHECK(only_clamp.floating->preload == 0.0);

    const stack::Stack both = stack_of(shims + "  clamp: 13 mm\n  float: {travel: 1 mm, at: 15 mm}\n");
    CHECK_THAT(both.floating->ring_radius, WithinRel(6.5e-3, rounding));
    CHECK_THAT(both.floating->spring_radius, WithinRel(7.5e-3, rounding));

    const setup::Reading apart =
        read_valve(shims + "  clamp: 13 mm\n  edge: guided\n  bore: 12 mm\n"
                           "  float: {travel: 1 mm, spring_at: 16 mm, stop_at: 14 mm, rests_on: seat}\n");
    const stack::Stack& stack = apart.valve->stack;
    CHECK_THAT(stack.floating->spring_radius, WithinRel(8e-3, rounding));
    CHECK_THAT(stack.floating->stop_radius, WithinRel(7e-3, rounding));
    CHECK_THAT(stack.bore_radius, WithinRel(6e-3, rounding));
    CHECK(stack.edge == stack::InnerEdge::guided);
    CHECK(stack.floating->rests_on == stack::RestsOn::seat);
    CHECK(default_of(apart, "valve.float.at").empty()); // nothing follows from it
}

TEST_CASE("a sleeve leaves the travel that the shims on it do not take", "[setup][valve]") {
    const stack::Stack stack =
        stack_of("  clamp: 13 mm\n  float: {sleeve: 2.1 mm}\n  shims: [4 * 24 x 0.15, 13 x 0.2]\n");
    CHECK_THAT(stack.floating->travel, WithinRel(1.3e-3, rounding)); // a spacer takes its part
}

TEST_CASE("a rigid disc needs its coil and no ring", "[setup][valve]") {
    const setup::Reading reading = read_valve("  disc: {diameter: 24 mm, mass: 6 g}\n"
                                              "  float: {travel: 2 mm, rate: 12 N/mm, preload: 60 N}\n");
    const stack::Stack& stack = reading.valve->stack;
    REQUIRE(stack.disc);
    CHECK_THAT(stack.disc->outer_radius, WithinRel(12e-3, rounding));
    CHECK_THAT(stack.disc->mass, WithinRel(6e-3, rounding));
    CHECK(stack.shims.empty());
    CHECK(default_of(reading, "valve.material.E").empty()); // it does not bend
    CHECK(default_of(reading, "valve.clamp").empty());
    for (const std::string lines : {"  edge: free\n", "  bore: 8 mm\n", "  material: {nu: 0.3}\n"}) {
        INFO("key: " << lines);
        CHECK_THROWS_WITH(
            read_valve("  disc: {diameter: 24 mm, mass: 6 g}\n  float: {travel: 2 mm}\n" + lines),
            contains_text("belongs to shims: a disc does not bend"));
    }
}

TEST_CASE("friction between the shims of a disc is told to change nothing", "[setup][valve]") {
    const std::string disc =
        "  disc: {diameter: 24 mm, mass: 6 g}\n  float: {travel: 2 mm, rate: 12 N/mm, preload: 60 N}\n";
    CHECK(read_valve(disc).warnings.empty());
    const setup::Reading rubbing = read_valve(disc + "  shim_friction: 0.3\n");
    REQUIRE(rubbing.warnings.size() == 1);
    CHECK_THAT(rubbing.warnings.front(), contains_text("valve.yaml:7:18: warning: valve.shim_friction: ") &&
                                             contains_text("a disc has none, and this changes nothing"));
    CHECK(read_valve(clamped + "  shim_friction: 0.3\n").warnings.empty());
}

TEST_CASE("a coverage that follows from windows is told rounded and used in full", "[setup][valve]") {
    const setup::Reading reading =
        read_valve(clamped + "  ports: {count: 4, inner: 14.5 mm, outer: 21.5 mm, arc: 35 deg}\n");
    CHECK(default_of(reading, "valve.coverage") == "0.3889");
    CHECK_THAT(reading.valve->stack.coverage, WithinRel(4.0 * 35.0 / 360.0, rounding));
}

TEST_CASE("bleeds are a needle, holes or an area", "[setup][valve]") {
    const setup::Reading hole = read_valve(clamped + "  bleed: {hole: 1.2 mm}\n");
    CHECK_THAT(std::get<flow::Hole>(*hole.valve->bleed).diameter, WithinRel(1.2e-3, rounding));
    CHECK(std::get<flow::Hole>(*hole.valve->bleed).count == 1);
    CHECK(default_of(hole, "valve.bleed.count") == "1");
    const setup::Reading holes = read_valve(clamped + "  bleed: {hole: 1.2 mm, count: 3}\n");
    CHECK(std::get<flow::Hole>(*holes.valve->bleed).count == 3);
    const setup::Reading notch = read_valve(clamped + "  bleed: {area: 0.5 mm2}\n");
    CHECK_THAT(std::get<flow::Notch>(*notch.valve->bleed).area, WithinRel(0.5e-6, rounding));
    CHECK_FALSE(std::get<flow::Notch>(*notch.valve->bleed).depth);
    const setup::Reading slots = read_valve(clamped + "  bleed: {area: 0.5 mm2, depth: 0.15 mm}\n");
    CHECK_THAT(std::get<flow::Notch>(*slots.valve->bleed).depth.value(), WithinRel(0.15e-3, rounding));
    CHECK_THROWS_WITH(read_valve(clamped + "  bleed: {hole: 1.2 mm, depth: 0.15 mm}\n"),
                      contains_text("valve.bleed.depth: belongs to area: there is none"));
}

TEST_CASE("a bleed passes oil both ways unless it has a check of its own", "[setup][valve]") {
    const setup::Reading plain = read_valve(clamped + "  bleed: {hole: 1.2 mm}\n");
    CHECK(plain.valve->bleed_ways == flow::BleedWays::both);
    CHECK(default_of(plain, "valve.bleed.ways") == "both");
    CHECK(read_valve(clamped + "  bleed: {hole: 1.2 mm, ways: one}\n").valve->bleed_ways ==
          flow::BleedWays::one);
}

TEST_CASE("turning a float's spring in adds to its preload", "[setup][valve]") {
    const auto preload = [](const std::string& turns) {
        const stack::Stack stack = stack_of("  disc: {diameter: 24 mm, mass: 6 g}\n"
                                            "  float: {travel: 2 mm, rate: 12 N/mm, preload: 5 N, adjuster: "
                                            "{per_turn: 1.25 mm, of: 4, turns: " +
                                            turns + "}}\n");
        return stack.floating->preload;
    };
    CHECK_THAT(preload("4"), WithinRel(5.0, rounding));
    CHECK_THAT(preload("1.5"), WithinRel(42.5, rounding)); // 5 N + 12 N/mm of 2.5 turns of 1.25 mm
    CHECK_THAT(preload("0"), WithinRel(65.0, rounding));
    CHECK_THROWS_WITH(preload("4.5"), contains_text("4.5 turns lie outside the adjuster's range, 0 to 4"));
}

TEST_CASE("flow keys of a valve are read", "[setup][valve]") {
    const setup::Reading reading =
        read_valve(clamped + "  ports: {count: 4, area: 13 mm2}\n"
                             "  curtain_length: 40 mm\n"
                             "  jet_force: 0.1\n"
                             "  discharge: {port: 0.8, curtain: 0.65, bleed: 0.6, port_transition: 900,\n"
                             "              curtain_transition: 90, bleed_transition: 400}\n");
    CHECK_THAT(reading.valve->curtain_length.value(), WithinRel(0.040, rounding));
    CHECK(reading.valve->jet_force == 0.1);
    CHECK(reading.valve->discharge == flow::Discharge{0.8, 0.65, 0.6, 900.0, 90.0, 400.0});
}

TEST_CASE("warnings carry their place", "[setup][valve]") {
    const Folder folder;
    const std::string path = folder.write("valve.yaml", "format: 1\n"
                                                        "valve:\n"
                                                        "  zone: {inner: 14 mm, outer: 21 mm}\n"
                                                        "  seat: {inner: 22 mm, outer: 23 mm}\n" +
                                                            clamped);
    const setup::Reading reading = setup::read(setup::Document::load(path));
    REQUIRE(reading.warnings.size() == 1);
    CHECK_THAT(reading.warnings[0], contains_text("valve.yaml:3:31: warning: valve.zone.outer: "));
    CHECK_THAT(reading.warnings[0], contains_text("    3 |   zone: {inner: 14 mm, outer: 21 mm}\n"));
}

TEST_CASE("holes wider than the ring that pressure acts on are told", "[setup][valve]") {
    const setup::Reading wide = read_valve(clamped + "  ports: {count: 1, diameter: 9 mm}\n  coverage: 1\n");
    REQUIRE(wide.warnings.size() == 1);
    CHECK_THAT(wide.warnings[0],
               contains_text("ports.diameter: ") && contains_text("holes of 9 mm do not fit"));
    CHECK(read_valve(clamped + "  ports: {count: 8, diameter: 3.5 mm}\n  coverage: 1\n").warnings.empty());
    // They may break through the edges of the ring of 4 mm by a twentieth.
    const auto told = [](const std::string& diameter) {
        return read_valve(clamped + "  ports: {count: 1, diameter: " + diameter + "}\n  coverage: 1\n")
            .warnings.size();
    };
    CHECK(told("4.19 mm") == 0);
    CHECK(told("4.21 mm") == 1);
}

TEST_CASE("ports in a ring many times their size ask whether a recess joins them", "[setup][valve]") {
    const std::string ports = clamped + "  ports: {count: 4, area: 13 mm2}\n";
    const setup::Reading asked = read_valve(ports);
    REQUIRE(asked.warnings.size() == 1);
    CHECK_THAT(asked.warnings[0], contains_text("52 mm² of ports in a ring of 226 mm²") &&
                                      contains_text("`coverage: 1` says so"));
    CHECK(read_valve(ports + "  coverage: 1\n").warnings.empty());
    CHECK(read_valve(ports + "  coverage: 0.4\n").warnings.empty());
    // From two thirds of the ring of 226.19 mm² on nobody is asked.
    CHECK(read_valve(clamped + "  ports: {count: 4, area: 37.8 mm2}\n").warnings.empty());
    CHECK(read_valve(clamped + "  ports: {count: 4, area: 37.6 mm2}\n").warnings.size() == 1);
}
