#include <stack/samples.hpp>
#include <support/catch.hpp>
#include <valve/plate/detail/vibration.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

using namespace valve::stack;

namespace {

struct Cut {
    double radius_mm;
    double thickness_mm;
};

Stack clamped(const std::vector<Cut>& cuts) {
    Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {8e-3, 14e-3};
    stack.seat = {14e-3, 14.5e-3, 0.0};
    for (const Cut& cut : cuts)
        stack.shims.push_back({1e-3 * cut.radius_mm, 1e-3 * cut.thickness_mm, {}});
    return stack;
}

Modes modes_of(const Stack& stack, const ModesOptions& options = {}) {
    return Solution(stack).modes(options);
}

Modes linear_modes_of(const Stack& stack, double pressure) {
    return Solution(stack, {.theory = Theory::linear}).modes({.pressure = pressure});
}

const Mode& mode(const Modes& modes, int nodal_diameters, int family) {
    for (const Mode& mode : modes.modes)
        if (mode.nodal_diameters == nodal_diameters && mode.family == family) return mode;
    throw std::out_of_range("no such mode");
}

} // namespace

TEST_CASE("equal shims that touch vibrate as one of them", "[stack]") {
    const Modes one = modes_of(clamped({{15, 0.2}}));
    const Modes three = modes_of(clamped({{15, 0.2}, {15, 0.2}, {15, 0.2}}));
    REQUIRE(one.modes.size() == 12);
    REQUIRE(three.modes.size() == 12);
    for (std::size_t i = 0; i < 12; ++i) // Lanczos' accuracy, and elements conditioned as size⁻⁴
        CHECK_THAT(*three.modes[i].frequency_air, WithinRel(*one.modes[i].frequency_air, 1e-6));
}

TEST_CASE("three equal shims in oil vibrate as one of three times the stiffness and mass", "[stack]") {
    const ModesOptions oil{.oil_density = 850.0};
    const Modes three = modes_of(clamped({{15, 0.2}, {15, 0.2}, {15, 0.2}}), oil);
    Stack one = clamped({{15, 0.2}});
    one.shims.front().material.youngs_modulus *= 3.0;
    one.shims.front().material.density *= 3.0;
    const Modes single = modes_of(one, oil);
    for (std::size_t i = 0; i < 12; ++i) {
        CHECK_THAT(*three.modes[i].frequency_oil, WithinRel(*single.modes[i].frequency_oil, 1e-6));
        CHECK(three.modes[i].frequency_oil < three.modes[i].frequency_air);
    }
}

TEST_CASE("a smaller shim on top stiffens more than it weighs", "[stack]") {
    const double bare = *mode(modes_of(clamped({{15, 0.2}})), 0, 0).frequency_air;
    const double backed = *mode(modes_of(clamped({{15, 0.2}, {9, 0.2}})), 0, 0).frequency_air;
    const double doubled = *mode(modes_of(clamped({{15, 0.4}})), 0, 0).frequency_air;
    CHECK(backed > bare);
    CHECK(backed < doubled);
}

TEST_CASE("groups that a gap parts vibrate each for itself until the gap has closed", "[stack]") {
    // The 7 mm shim leaves 0.1 mm between a soft and a stiff shim.
    const Stack stack = clamped({{15, 0.1}, {7, 0.1}, {15, 0.4}});
    const Modes open = modes_of(stack);
    const double soft = *mode(open, 0, 0).frequency_air;
    const double stiff = *mode(open, 0, 1).frequency_air;
    const Modes alone = modes_of(clamped({{15, 0.1}}));
    CHECK(soft > *mode(alone, 0, 0).frequency_air); // the 7 mm shim holds it further out
    CHECK(stiff > 3.0 * soft);

    const LiftCurve curve = Solution(stack, {.theory = Theory::linear}).curve();
    const auto closing = std::find_if(curve.events.begin(), curve.events.end(), [](const Event& event) {
        return event.kind == EventKind::gap_closing;
    });
    REQUIRE(closing != curve.events.end());
    const auto at = [&](double pressure) {
        return *mode(linear_modes_of(stack, pressure), 0, 0).frequency_air;
    };
    CHECK(at(1.01 * closing->pressure) > 1.3 * at(0.99 * closing->pressure));
}

TEST_CASE("on its seat a stack is stiffer; bent in large deflection it stiffens", "[stack]") {
    Stack stack = clamped({{15, 0.2}});
    stack.seat.height = 0.05e-3;
    const Modes shut = modes_of(stack, {.pressure = 0.0});
    CHECK(shut.on_seat);
    CHECK_FALSE(shut.on_hub);
    const Modes lifted = modes_of(stack);
    CHECK_FALSE(lifted.on_seat);
    CHECK(*mode(shut, 0, 0).frequency_air > 3.0 * *mode(lifted, 0, 0).frequency_air);

    const Modes bent = modes_of(stack, {.pressure = 2e5});
    CHECK_FALSE(bent.on_seat);
    CHECK(*mode(bent, 0, 0).frequency_air > 1.2 * *mode(lifted, 0, 0).frequency_air);
    // Linear plates know no stiffening: one shim off its seat is the shim at rest.
    const Modes linear = linear_modes_of(stack, 2e5);
    for (std::size_t i = 0; i < 12; ++i)
        CHECK_THAT(*linear.modes[i].frequency_air, WithinRel(*lifted.modes[i].frequency_air, 1e-9));
}

TEST_CASE("the round tangent of a bent stack is that of the lift curve", "[stack]") {
    // In a state without a bound that changes, K x' = load' along the lift curve. So the lowest mode of one
    // shim lies below Rayleigh's quotient of that x', and near it, for the load bends it much as it vibrates.
    const Stack stack = clamped({{15, 0.2}});
    constexpr double pressure = 1e5;
    constexpr double step = 1e2;
    const Solution solution(stack);
    const auto edge = [&](double at) { return solution.at(at).edge_lift; };
    const double rim = (edge(pressure + step) - edge(pressure - step)) / (2.0 * step);
    const double rim_flat = (edge(2.0 * step) - edge(0.0)) / (2.0 * step);
    const double stiffening = rim_flat / rim; // of the static stiffness
    const double bent = *mode(modes_of(stack, {.pressure = pressure}), 0, 0).frequency_air;
    const double flat = *mode(modes_of(stack), 0, 0).frequency_air;
    // Shapes differ a little between pressure and inertia: a tenth of the stiffness.
    CHECK_THAT(std::pow(bent / flat, 2), WithinRel(stiffening, 0.1));
    CHECK(stiffening > 1.5);
}

TEST_CASE("a floated plate bounces on its spring and tilts on it", "[stack]") {
    Stack stack = testing::check_plate();
    stack.shims.front().thickness = 1e-3; // as good as rigid
    const Modes modes = modes_of(stack);
    const double a = stack.shims.front().outer_radius;
    const double b = stack.bore_radius;
    const double density = 7850.0 * 1e-3 * std::numbers::pi;
    const double mass = density * (a * a - b * b);
    const double inertia = 0.25 * density * (std::pow(a, 4) - std::pow(b, 4));
    const double rate = stack.floating->spring_rate;
    const double turning = 0.5 * rate * std::pow(stack.floating->spring_radius, 2);
    // The plate's own give is some (f_spring/f_plate)², and a soft spring on stiff elements loses digits.
    CHECK_THAT(*mode(modes, 0, 0).frequency_air,
               WithinRel(std::sqrt(rate / mass) / (2.0 * std::numbers::pi), 2e-4));
    CHECK_THAT(*mode(modes, 1, 0).frequency_air,
               WithinRel(std::sqrt(turning / inertia) / (2.0 * std::numbers::pi), 2e-4));
    CHECK(*mode(modes, 2, 0).frequency_air > 20.0 * *mode(modes, 0, 0).frequency_air);

    stack.edge = InnerEdge::guided; // stays level: it does not tilt
    CHECK(*mode(modes_of(stack), 1, 0).frequency_air > 100.0 * *mode(modes, 1, 0).frequency_air);
}

TEST_CASE("hub and stop hold a floated plate while it lies on them", "[stack]") {
    const Stack stack = testing::check_plate();
    const Modes shut = modes_of(stack, {.pressure = 0.0});
    CHECK(shut.on_hub);
    const Modes stopped = modes_of(stack, {.pressure = 10e5});
    CHECK(stopped.on_stop);
    const Modes afloat = modes_of(stack);
    CHECK(*mode(stopped, 0, 0).frequency_air > 3.0 * *mode(afloat, 0, 0).frequency_air);
}

TEST_CASE("a wide thin shim buckles out of its round shape, and the frequency is missing", "[stack]") {
    const Stack stack = clamped({{15, 0.1}});
    const Modes bent = modes_of(stack, {.pressure = 1e5, .oil_density = 850.0});
    CHECK(mode(bent, 0, 0).frequency_air.has_value());
    CHECK_FALSE(mode(bent, 3, 0).frequency_air.has_value());
    CHECK_FALSE(mode(bent, 3, 0).frequency_oil.has_value()); // more mass cures no buckling
    CHECK(mode(bent, 3, 1).frequency_oil.has_value());
}

TEST_CASE("a rigid disc has its bounce, in oil with the mass of a disc's oil", "[stack]") {
    Stack stack;
    stack.disc = Disc{8e-3, 2e-3};
    stack.clamp_radius = stack.bore_radius = 2e-3;
    stack.zone = {2e-3, 6e-3};
    stack.seat = {6e-3, 6.5e-3, 0.0};
    stack.floating = Float{.travel = 1e-3, .spring_rate = 20e3, .preload = 10.0};
    const Modes modes = modes_of(stack, {.oil_density = 850.0});
    REQUIRE(modes.modes.size() == 1);
    const double oil = 8.0 / 3.0 * 850.0 * std::pow(8e-3, 3);
    CHECK_THAT(*modes.modes[0].frequency_air,
               WithinRel(std::sqrt(20e3 / 2e-3) / (2.0 * std::numbers::pi), 1e-12));
    CHECK_THAT(*modes.modes[0].frequency_oil,
               WithinRel(std::sqrt(20e3 / (2e-3 + oil)) / (2.0 * std::numbers::pi), 1e-12));
    const Modes shut = modes_of(stack, {.pressure = 0.0});
    CHECK(shut.on_hub);
    CHECK(shut.modes.empty());
    stack.disc->mass = 0.0;
    CHECK_THROWS_AS(modes_of(stack), std::invalid_argument);
}

TEST_CASE("states that cannot be and options that mean nothing are refused", "[stack]") {
    const Stack stack = clamped({{15, 0.1}});
    CHECK_THROWS_AS(modes_of(stack, {.pressure = 1e9}), valve::SolveError);
    CHECK_THROWS_AS(modes_of(stack, {.pressure = -1.0}), std::invalid_argument);
    CHECK_THROWS_AS(modes_of(stack, {.oil_density = -1.0}), std::invalid_argument);
    CHECK_THROWS_AS(modes_of(stack, {.families = 0}), std::invalid_argument);
}

TEST_CASE("oil makes no mode faster, not even of a thick plate without a spring", "[stack][modes]") {
    // A plate of 26 mm that floats on next to nothing: the bounce lies so far below the bending of the plate
    // that rounding says more of it than the spring does.
    for (const double thickness : {0.1e-3, 2e-3, 3e-3, 4e-3, 5e-3})
        for (const double travel : {0.5e-3, 5e-3}) {
            CAPTURE(thickness, travel);
            Stack stack = testing::check_plate();
            stack.shims = {{13e-3, thickness, {}}};
            stack.floating->spring_rate = 0.0;
            stack.floating->travel = travel;
            ModesOptions options;
            options.oil_density = 840.0;
            const double mass = 7850.0 * thickness * std::numbers::pi * (13e-3 * 13e-3 - 9e-3 * 9e-3);
            const double bounce = std::sqrt(closing_rate(stack) / mass) / (2.0 * std::numbers::pi);
            for (const Mode& mode : modes_of(stack, options).modes) {
                CAPTURE(mode.nodal_diameters, mode.family);
                REQUIRE(mode.frequency_air);
                CHECK(mode.frequency_oil <= mode.frequency_air);
                if (mode.family == 0 && mode.nodal_diameters == 0) CHECK(*mode.frequency_air < 1.2 * bounce);
            }
        }
}
