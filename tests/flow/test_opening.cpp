#include <support/catch.hpp>
#include <valve/flow/leak.hpp>
#include <valve/flow/opening.hpp>

#include <cmath>
#include <numbers>

using namespace valve;
using std::numbers::pi;

namespace {

constexpr double seat = 3e-3; // [m]

flow::Needle needle(double clicks) {
    return {.seat_diameter = seat,
            .cone_angle = 20.0 * pi / 180.0,
            .per_click = 0.06e-3,
            .clicks = clicks,
            .range = 400};
}

} // namespace

TEST_CASE("a needle opens as a frustum", "[flow][opening]") {
    const double gap = 10.0 * 0.06e-3 * std::sin(pi / 18.0);
    const auto opening = flow::opening(flow::Bleed{needle(10)});
    REQUIRE(opening);
    CHECK_THAT(opening->area, WithinRel(pi * gap * (seat - gap * std::cos(pi / 18.0)), 1e-14));
    CHECK_THAT(opening->hydraulic_diameter, WithinRel(2.0 * gap, 1e-14));
}

TEST_CASE("a needle at 0 clicks is shut, and never more open than its seat", "[flow][opening]") {
    CHECK_FALSE(flow::opening(flow::Bleed{needle(0)}));
    double before = 0.0;
    for (int clicks = 1; clicks <= 400; ++clicks) {
        const auto opening = flow::opening(flow::Bleed{needle(clicks)});
        REQUIRE(opening);
        REQUIRE(opening->area >= before);
        REQUIRE(opening->area <= pi * seat * seat / 4.0);
        REQUIRE(opening->hydraulic_diameter <= seat);
        before = opening->area;
    }
    CHECK_THAT(before, WithinRel(pi * seat * seat / 4.0, 1e-14));
}

TEST_CASE("holes, notches and ports", "[flow][opening]") {
    const auto holes = flow::opening(flow::Bleed{flow::Hole{.diameter = 1e-3, .count = 3}});
    REQUIRE(holes);
    CHECK_THAT(holes->area, WithinRel(3.0 * pi / 4.0 * 1e-6, 1e-14));
    CHECK(holes->hydraulic_diameter == 1e-3);

    const auto notch = flow::opening(flow::Bleed{flow::Notch{pi / 4.0 * 1e-6}});
    REQUIRE(notch);
    CHECK_THAT(notch->hydraulic_diameter, WithinRel(1e-3, 1e-14));
    // Wide slots: 4 A / perimeter tends to twice their depth; no wider than the hole of that area.
    CHECK(flow::opening(flow::Bleed{flow::Notch{1.2e-6, 0.15e-3}})->hydraulic_diameter == 0.3e-3);
    CHECK_THAT(flow::opening(flow::Bleed{flow::Notch{pi / 4.0 * 1e-6, 0.9e-3}})->hydraulic_diameter,
               WithinRel(1e-3, 1e-14));

    const flow::Opening ports = flow::opening(flow::Ports{.count = 4, .area_each = pi * 1e-6});
    CHECK_THAT(ports.area, WithinRel(4.0 * pi * 1e-6, 1e-14));
    CHECK_THAT(ports.hydraulic_diameter, WithinRel(2e-3, 1e-14));
}

TEST_CASE("a ring that touches the bore leaks two and a half times as much", "[flow][leak]") {
    const flow::AnnularGap concentric{.diameter = 25e-3, .gap = 0.02e-3, .length = 8e-3, .eccentricity = 0.0};
    flow::AnnularGap touching = concentric;
    touching.eccentricity = 1.0;
    const double leak = flow::leak_conductance(concentric, 0.0136);
    CHECK_THAT(leak, WithinRel(pi * 25e-3 * 8e-15 / (12.0 * 0.0136 * 8e-3), 1e-14));
    CHECK_THAT(flow::leak_conductance(touching, 0.0136), WithinRel(2.5 * leak, 1e-14));
}
