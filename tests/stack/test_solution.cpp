#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/waves.hpp>
#include <valve/stack/solution.hpp>

#include <cmath>
#include <limits>
#include <stdexcept>
#include <type_traits>

using namespace valve;
using namespace valve::stack;
using testing::windowed;

static_assert(!std::is_copy_constructible_v<Solution> && !std::is_move_constructible_v<Solution>);
static_assert(!std::is_copy_assignable_v<Solution> && !std::is_move_assignable_v<Solution>);
static_assert(!std::is_copy_constructible_v<Path> && !std::is_move_constructible_v<Path>);
static_assert(!std::is_copy_constructible_v<Problem> && !std::is_move_constructible_v<Problem>);
static_assert(!std::is_copy_constructible_v<Minimiser> && !std::is_move_constructible_v<Minimiser>);
static_assert(!std::is_copy_constructible_v<BoxQuadratic> && !std::is_move_constructible_v<BoxQuadratic>);

namespace {

constexpr FollowOptions to_5_bar{.max_pressure = 5e5};

Stack two_shims() {
    return windowed({{15, 0.2}, {13, 0.2}}, 4, 0.6, 0.05);
}

Stack rigid() {
    Stack stack = testing::check_plate();
    stack.shims.clear();
    stack.disc = Disc{13e-3, 5e-3};
    return stack;
}

void check_same(const LiftPoint& a, const LiftPoint& b) {
    CHECK(a.pressure == b.pressure);
    CHECK(a.seat_lift == b.seat_lift);
    CHECK(a.rate_before == b.rate_before);
    CHECK(a.rate_after == b.rate_after);
    CHECK(a.hub_force == b.hub_force);
    CHECK(a.peak.stress == b.peak.stress);
}

} // namespace

TEST_CASE("a solution solves nothing before it is asked, and nothing twice", "[stack][solution]") {
    const Solution solution(two_shims(), to_5_bar);
    CHECK(solution.factorisations() == 0);
    const LiftCurve& curve = solution.curve();
    const int for_the_curve = solution.factorisations();
    CHECK(for_the_curve > static_cast<int>(curve.points.size()) / 2);

    CHECK(&solution.curve() == &curve);
    CHECK(solution.law().max_pressure() == 5e5);
    for (const LiftPoint& point : curve.points) {
        check_same(solution.at(point.pressure), point);
        CHECK(solution.shape(point.pressure).shims.size() == 2);
        if (point.pressure > curve.crack_pressure) solution.ring_lift(point.pressure);
        if (point.pressure > 0.0) solution.friction(point.pressure, 0.1);
        solution.modes({.pressure = point.pressure, .most_diameters = 0, .families = 1});
    }
    // The ring's own bounds lie between the points; each of their states takes a few.
    const int with_the_ring = solution.factorisations();
    CHECK(with_the_ring - for_the_curve < for_the_curve);
    CHECK(&solution.ring() == &solution.ring());
    CHECK(solution.law_over_ports().law.max_pressure() == 5e5);
    CHECK(solution.factorisations() == with_the_ring);

    solution.at(1.2345e5);
    const int with_a_state = solution.factorisations();
    CHECK(with_a_state > with_the_ring);
    solution.shape(1.2345e5);
    solution.friction(1.2345e5, 0.1);
    CHECK(solution.factorisations() == with_a_state);
}

TEST_CASE("answers do not depend on what was asked before", "[stack][solution]") {
    for (const Stack& stack : {two_shims(), testing::check_plate()}) {
        const Solution curve_first(stack, to_5_bar);
        const LiftCurve& curve = curve_first.curve();
        const LiftPoint low = curve_first.at(0.777e5);
        const LiftPoint high = curve_first.at(3.33e5);
        const LiftPoint beyond = curve_first.at(7e5);

        const Solution states_first(stack, to_5_bar);
        check_same(states_first.at(7e5), beyond);
        check_same(states_first.at(3.33e5), high);
        for (int i = 1; i <= 150; ++i) // more than are remembered
            states_first.at(1e3 * i);
        check_same(states_first.at(0.777e5), low);
        check_same(states_first.at(3.33e5), high);
        states_first.linear_error();
        states_first.waves_up_to(5e5);
        REQUIRE(states_first.curve().points.size() == curve.points.size());
        for (std::size_t i = 0; i < curve.points.size(); ++i)
            check_same(states_first.curve().points[i], curve.points[i]);
        for (const double pressure : {0.777e5, 3.33e5}) {
            CHECK(states_first.shape(pressure).shims.front().lift ==
                  curve_first.shape(pressure).shims.front().lift);
            CHECK(states_first.friction(pressure, 0.1).lift == curve_first.friction(pressure, 0.1).lift);
        }
    }
}

TEST_CASE("waves are looked for up to the pressure asked, and what they are does not hang on it",
          "[stack][solution]") {
    const Stack stack = windowed({{15, 0.2}}, 0, 1.0);
    const FollowOptions options{.max_pressure = 20e5};
    const std::optional<Waves> at_once = Solution(stack, options).waves_up_to(20e5);
    REQUIRE(at_once);
    const Solution bit_by_bit(stack, options);
    for (double pressure = 1e3; pressure < 20e5; pressure *= 1.7) {
        CAPTURE(pressure);
        const std::optional<Waves> waves = bit_by_bit.waves_up_to(pressure);
        CHECK(waves.has_value() == (at_once->pressure <= pressure));
        if (!waves) continue;
        CHECK(waves->pressure == at_once->pressure);
        CHECK(waves->count == at_once->count);
    }
    CHECK_FALSE(bit_by_bit.waves_up_to(0.99 * at_once->pressure));

    Path path(stack, Theory::large_deflection, {});
    const LiftCurve& curve = bit_by_bit.curve();
    WaveSearch search(path, curve);
    CHECK_FALSE(search.up_to(1e3));
    const std::size_t looked_at = search.looked_at();
    CHECK(looked_at < landmarks(curve).size() / 2);
    CHECK(landmarks(curve)[looked_at - 1] >= 1e3);
    CHECK(landmarks(curve)[looked_at - 2] < 1e3);
    search.up_to(0.5e3);
    CHECK(search.looked_at() == looked_at);
}

TEST_CASE("a rigid disc answers in closed form", "[stack][solution]") {
    Stack stack = rigid();
    stack.windows = 3;
    const Solution solution(stack, to_5_bar);
    const double area = solution.curve().load_area;
    const double pressure = (2.0 + 800.0 * 0.5e-3) / area; // half a millimetre up
    CHECK_THAT(solution.at(pressure).seat_lift, WithinRel(0.5e-3, 1e-9));
    CHECK(solution.shape(pressure).shims.empty());
    CHECK_THAT(solution.ring_lift(pressure)->mid_land, WithinRel(0.5e-3, 1e-9));
    CHECK_THAT(*solution.ring().crack_mid_port, WithinRel(2.0 / area, 1e-12));
    CHECK(solution.law_over_ports().law.opening_pressure() == solution.law().opening_pressure());
    CHECK_FALSE(solution.waves_up_to(5e5));
    CHECK_FALSE(solution.linear_error().from_pressure);
    CHECK(solution.friction(pressure, 0.1).share == 0.0);
    CHECK(solution.factorisations() == 0);
}

TEST_CASE("a solution that fails says so each time, and solves once for it", "[stack][solution]") {
    Stack stack = testing::check_plate();
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    stack.seat.height = 2e-3; // over 3 mm from the clamp
    const Solution solution(stack);
    CHECK_THROWS_AS(solution.curve(), SolveError);
    const int once = solution.factorisations();
    std::string first;
    for (int i = 0; i < 2; ++i)
        try {
            solution.law();
        } catch (const SolveError& error) {
            if (i == 0) first = error.what();
            CHECK(first == error.what());
        }
    CHECK(first.size() > 20);
    CHECK(solution.factorisations() == once);
    CHECK_THROWS_AS(solution.at(1e5), SolveError);
}

TEST_CASE("a solution refuses what is no pressure, no stack and no end", "[stack][solution]") {
    const Solution solution(testing::check_plate(), to_5_bar);
    for (const double pressure : {-1.0, std::nan(""), std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(solution.at(pressure), std::invalid_argument);
        CHECK_THROWS_AS(solution.shape(pressure), std::invalid_argument);
        CHECK_THROWS_AS(solution.waves_up_to(pressure), std::invalid_argument);
        CHECK_THROWS_AS(solution.modes({.pressure = pressure}), std::invalid_argument);
        CHECK_THROWS_AS(Solution(testing::check_plate(), {.max_pressure = pressure}), std::invalid_argument);
    }
    CHECK_THROWS_AS(solution.ring(), std::invalid_argument); // it has no windows
    CHECK_THROWS_AS(solution.ring_lift(1e5), std::invalid_argument);
    CHECK_THROWS_AS(solution.law_over_ports(), std::invalid_argument);
    CHECK_THROWS_AS(Solution(windowed({}, 0, 1.0)), std::invalid_argument);
}
