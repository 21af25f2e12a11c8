#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/round_test.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>

using namespace valve::stack;
using testing::windowed;

namespace {

std::optional<Waves> waves_of(const Stack& stack, const FollowOptions& options = {}) {
    return Solution(stack, options).waves_up_to(options.max_pressure);
}

/// Whether there is a lowest frequency with so many nodal diameters.
bool vibrates(const Stack& stack, double pressure, int nodal_diameters) {
    const Modes modes = Solution(stack).modes({.pressure = pressure, .most_diameters = 5, .families = 1});
    return std::all_of(modes.modes.begin(), modes.modes.end(), [&](const Mode& mode) {
        return mode.nodal_diameters != nodal_diameters || mode.frequency_air;
    });
}

} // namespace

TEST_CASE("a shim buckles into waves where its lowest frequency with as many nodal diameters vanishes",
          "[stack][waves]") {
    for (const Stack& stack :
         {windowed({{15, 0.2}}, 0, 1.0), windowed({{15, 0.15}, {15, 0.15}, {12, 0.15}}, 0, 0.7)}) {
        const std::optional<Waves> waves = waves_of(stack, {.max_pressure = 20e5});
        REQUIRE(waves);
        CAPTURE(waves->pressure, waves->count);
        CHECK(vibrates(stack, 0.998 * waves->pressure, waves->count));
        CHECK_FALSE(vibrates(stack, 1.002 * waves->pressure, waves->count));
        for (const int n : {2, 3, 4, 5})
            CHECK(vibrates(stack, 0.998 * waves->pressure, n));
    }
}

TEST_CASE("buckling scales as plates do, and equal shims share it", "[stack][waves]") {
    const std::optional<Waves> thin = waves_of(windowed({{15, 0.1}}, 0, 1.0), {.max_pressure = 1e5});
    REQUIRE(thin);
    // Located to 1e-3 each.
    const std::optional<Waves> thick = waves_of(windowed({{15, 0.2}}, 0, 1.0), {.max_pressure = 16e5});
    REQUIRE(thick);
    CHECK_THAT(thick->pressure, WithinRel(16.0 * thin->pressure, 2e-3));
    const std::optional<Waves> two =
        waves_of(windowed({{15, 0.1}, {15, 0.1}}, 0, 1.0), {.max_pressure = 2e5});
    REQUIRE(two);
    CHECK_THAT(two->pressure, WithinRel(2.0 * thin->pressure, 2e-3));
    CHECK(two->count == thin->count);
}

TEST_CASE("linear plates and low pressures keep a stack round", "[stack][waves]") {
    const Stack stack = windowed({{15, 0.2}}, 0, 1.0);
    CHECK_FALSE(waves_of(stack, {.theory = Theory::linear}));
    CHECK_FALSE(waves_of(stack, {.max_pressure = 0.5e5}));
    Path path(stack, Theory::large_deflection, {});
    CHECK(is_stable(path.problem(), *path.at(0.0), 3));
    CHECK_FALSE(is_stable(path.problem(), *path.at(5e5), 3));
}
