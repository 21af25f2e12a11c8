#include <stack/samples.hpp>
#include <support/catch.hpp>
#include <valve/stack/solution.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve::stack;

namespace {

constexpr double thickness = 0.15e-3;
constexpr double pressure = 1e5;

/// `count` equal shims, clamped, under a knife-edge seat at their rim and a full ring of pressure.
Stack equal_shims(std::size_t count) {
    Stack stack;
    stack.shims.assign(count, {12e-3, thickness, {}});
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {6e-3, 12e-3};
    stack.seat = {12e-3, 12e-3, 0.0};
    return stack;
}

double share(const Stack& stack, double coefficient, Theory theory) {
    return Solution(stack, {.theory = theory}).friction(pressure, coefficient).share;
}

/// ∫ w' dA / ∫ w dA of one linear shim, by the trapezoidal rule over its nodes [1/m].
double slope_by_lift() {
    const StackShape bent = Solution(equal_shims(1), {.theory = Theory::linear}).shape(pressure);
    const ShimShape& shim = bent.shims.front();
    double slopes = 0.0;
    double lifts = 0.0;
    for (std::size_t i = 1; i < shim.lift.size(); ++i) {
        const double middle = 0.5 * (shim.radius[i] + shim.radius[i - 1]);
        slopes += middle * (shim.lift[i] - shim.lift[i - 1]);
        lifts += 0.5 * (shim.radius[i] - shim.radius[i - 1]) *
                 (shim.radius[i] * shim.lift[i] + shim.radius[i - 1] * shim.lift[i - 1]);
    }
    return slopes / lifts;
}

} // namespace

TEST_CASE("one shim has nothing to rub on", "[stack]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection})
        CHECK(share(equal_shims(1), 0.15, theory) == 0.0);
    Stack disc = testing::check_plate();
    disc.shims.clear();
    disc.disc = Disc{13e-3, 5e-3};
    CHECK(share(disc, 0.15, Theory::linear) == 0.0);
}

TEST_CASE("friction of equal linear shims is that of the closed form", "[stack]") {
    constexpr double coefficient = 0.12;
    const double between_two = 0.5 * coefficient * thickness * slope_by_lift();
    for (const std::size_t count : {2u, 3u, 6u})
        // The trapezoidal rule and forces lumped at the nodes: second order in 40 elements.
        CHECK_THAT(share(equal_shims(count), coefficient, Theory::linear),
                   WithinRel(static_cast<double>(count - 1) * between_two, 2e-3));
}

TEST_CASE("friction grows in proportion to its coefficient and bounds the lift's hysteresis", "[stack]") {
    const Solution stack(equal_shims(4));
    for (const double at : {4e5, 1e5}) {
        const FrictionEstimate weak = stack.friction(at, 0.1);
        const FrictionEstimate strong = stack.friction(at, 0.2);
        CHECK(weak.pressure == at);
        CHECK(weak.share > 0.0);
        CHECK_THAT(strong.share, WithinRel(2.0 * weak.share, 1e-12));
        // The lift that so much more pressure gives, by central difference.
        const double band = weak.share * at;
        const double rise = stack.at(at + band).seat_lift - stack.at(at - band).seat_lift;
        CHECK_THAT(weak.lift, WithinRel(0.5 * rise, 1e-2));
    }
}

TEST_CASE("what a float lifts as a whole does not slide", "[stack]") {
    // While the plates float, the pressure's work goes into the spring.
    Stack floated = testing::check_plate();
    floated.shims.assign(3, {13e-3, 0.2e-3, {}});
    constexpr double floats_at = 11e3;
    const Solution solution(floated);
    const LiftPoint state = solution.at(floats_at);
    REQUIRE(state.float_lift > 0.1e-3);
    REQUIRE(state.stop_force == 0.0);
    const double on_spring = solution.friction(floats_at, 0.12).share;
    const double on_stop = solution.friction(pressure, 0.12).share;
    CHECK(on_spring > 0.0);
    CHECK(on_spring < 0.1 * on_stop);
}

TEST_CASE("friction refuses a negative coefficient and no pressure", "[stack]") {
    const Solution stack(equal_shims(2));
    CHECK_THROWS_AS(stack.friction(pressure, -0.1), std::invalid_argument);
    CHECK_THROWS_AS(stack.friction(0.0, 0.1), std::invalid_argument);
}
