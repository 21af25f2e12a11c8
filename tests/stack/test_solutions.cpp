#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/canonical.hpp>
#include <valve/stack/solutions.hpp>

#include <algorithm>
#include <functional>
#include <stdexcept>
#include <utility>
#include <vector>

using namespace valve::stack;
using testing::windowed;

namespace {

Stack one_shim(double thickness_mm) {
    return windowed({{15, thickness_mm}}, 0, 1.0);
}

} // namespace

TEST_CASE("equal stacks share a solution, however they were written", "[stack][solutions]") {
    Solutions solutions;
    const Stack clamped = windowed({{15, 0.2}, {5, 0.1}, {13, 0.2}}, 0, 1.0);
    const auto first = solutions.of(clamped);
    CHECK(solutions.of(clamped) == first);
    Stack same = clamped;
    same.bore_radius = 3e-3; // within the clamp
    same.shims[1].outer_radius = 6e-3;
    same.shims[1].material.youngs_modulus = 70e9; // of a spacer
    CHECK(solutions.of(same) == first);
    same.seat.height = -0.0;
    CHECK(solutions.of(same) == first);
    CHECK(solutions.size() == 1);

    Stack floated = testing::check_plate();
    const auto afloat = solutions.of(floated);
    floated.floating->adjuster = SpringAdjuster{2.0, 0.5e-3, 6.0}; // told by its preload
    CHECK(solutions.of(floated) == afloat);
    floated.bore_radius = 8.5e-3; // there the metal bends
    CHECK(solutions.of(floated) != afloat);
    CHECK(solutions.of(clamped, {.theory = Theory::linear}) != first);
    CHECK(solutions.of(clamped, {.max_pressure = 10e5}) != first);
    CHECK(solutions.size() == 5);
}

TEST_CASE("whatever counts in a stack tells its fingerprint from others", "[stack][solutions]") {
    Stack base = testing::check_plate();
    base.shims.push_back({12e-3, 0.15e-3, {}});
    const std::vector<std::function<void(Stack&)>> changes{
        [](Stack& s) { s.shims.pop_back(); },
        [](Stack& s) { std::swap(s.shims[0], s.shims[1]); },
        [](Stack& s) { s.shims[0].thickness *= 1.0 + 1e-15; },
        [](Stack& s) { s.shims[0].material.poisson_ratio = 0.31; },
        [](Stack& s) { s.shims[1].material.density = 7800.0; },
        [](Stack& s) { s.shims[1].material.yield_strength = 0.0; },
        [](Stack& s) { s.shims[1].material.fatigue_limit = 0.0; },
        [](Stack& s) { s.disc = Disc{}; },
        [](Stack& s) { s.clamp_radius = 8.9e-3; },
        [](Stack& s) { s.zone.inner_radius = 9.1e-3; },
        [](Stack& s) { s.zone.outer_radius = 12.1e-3; },
        [](Stack& s) { s.coverage = 0.9; },
        [](Stack& s) { s.windows = 3; },
        [](Stack& s) { s.seat.inner_radius = 12.1e-3; },
        [](Stack& s) { s.seat.outer_radius = 12.6e-3; },
        [](Stack& s) { s.seat.height = 1e-5; },
        [](Stack& s) { s.edge = InnerEdge::guided; },
        [](Stack& s) { s.floating.reset(); },
        [](Stack& s) { s.floating->travel = 1e-3; },
        [](Stack& s) { s.floating->spring_rate = 801.0; },
        [](Stack& s) { s.floating->preload = 2.1; },
        [](Stack& s) { s.floating->ring_radius = 9.1e-3; },
        [](Stack& s) { s.floating->spring_radius = 9.1e-3; },
        [](Stack& s) { s.floating->stop_radius = 9.1e-3; },
        [](Stack& s) { s.floating->rests_on = RestsOn::seat; },
    };
    std::vector<std::uint64_t> seen{fingerprint(base, {}), fingerprint(base, {.theory = Theory::linear}),
                                    fingerprint(base, {.max_pressure = 1e5})};
    for (const auto& change : changes) {
        Stack changed = base;
        change(changed);
        REQUIRE_FALSE(changed == base);
        CHECK_FALSE(canonical(changed) == canonical(base));
        seen.push_back(fingerprint(canonical(changed), {}));
    }
    std::sort(seen.begin(), seen.end());
    CHECK(std::adjacent_find(seen.begin(), seen.end()) == seen.end());
}

TEST_CASE("what was not asked for longest is forgotten first, and lives on with who holds it",
          "[stack][solutions]") {
    Solutions solutions(3);
    CHECK(solutions.capacity() == 3);
    const FollowOptions options{.theory = Theory::linear, .max_pressure = 1e5};
    const auto first = solutions.of(one_shim(0.10), options);
    const auto second = solutions.of(one_shim(0.11), options);
    solutions.of(one_shim(0.12), options);
    CHECK(solutions.of(one_shim(0.10), options) == first); // now asked for last
    solutions.of(one_shim(0.13), options);                 // the second goes
    CHECK(solutions.size() == 3);
    CHECK(solutions.of(one_shim(0.10), options) == first);
    CHECK(solutions.of(one_shim(0.11), options) != second);
    CHECK(second->curve().points.back().pressure == 1e5);
    for (int i = 0; i < 100; ++i)
        solutions.of(one_shim(0.2 + 0.001 * i), options);
    CHECK(solutions.size() == 3);
    CHECK_THROWS_AS(Solutions(0), std::invalid_argument);
}

TEST_CASE("what is no stack is not kept; what cannot be solved is, and fails alone", "[stack][solutions]") {
    Solutions solutions;
    Stack none = one_shim(0.2);
    none.shims.clear();
    CHECK_THROWS_AS(solutions.of(none), std::invalid_argument);
    CHECK(solutions.size() == 0);
    Stack overbent = one_shim(0.2);
    overbent.seat.height = 8e-3; // over 8 mm from the clamp
    const auto fails = solutions.of(overbent);
    const auto good = solutions.of(one_shim(0.2));
    CHECK_THROWS_AS(fails->curve(), valve::SolveError);
    CHECK(good->curve().points.back().seat_lift > 0.0);
    CHECK(solutions.of(overbent) == fails);
}
