#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/wave_branches.hpp>

#include <optional>
#include <vector>

using namespace valve::stack;
using testing::windowed;

namespace {

const FollowOptions to_ten_bar{Theory::large_deflection, 10e5};

} // namespace

TEST_CASE("another number of waves has less energy where it has released more", "[stack][uneven]") {
    // A taper that buckles into 4 waves first, and into 3 within a hundredth of that pressure. Where its
    // shims touch at their faces, three times that pressure is where 3 have the less.
    const Stack taper = windowed({{15, 0.15}, {14.5, 0.15}, {13, 0.15}, {11.5, 0.15}, {10, 0.15}}, 0, 1.0);
    const Solution solution(taper, to_ten_bar);
    const std::optional<Waves> first = solution.waves_up_to(10e5);
    REQUIRE(first);
    CHECK(wave_branches(solution, 0.99 * first->pressure).empty());
    const double pressure = 4.0 * first->pressure;
    const std::vector<WaveBranch> branches = wave_branches(solution, pressure);
    REQUIRE(branches.size() >= 2);
    CHECK(branches[0].waves.count == first->count);
    CHECK(branches[0].lift.state.seat_lift == solution.uneven(pressure)->state.seat_lift);
    // Just beyond the first buckling the shape that began there has less energy, higher up the other.
    const std::vector<WaveBranch> low = wave_branches(solution, 1.05 * first->pressure);
    REQUIRE(low.size() == 2);
    CHECK(low[0].waves.count == 4);
    CHECK(low[1].waves.count == 3);
    CHECK(low[0].released > low[1].released);
    CHECK(branches[1].waves.count == 3);
    CHECK(branches[1].released > branches[0].released);
    CHECK_THAT(branches[1].waves.pressure, WithinRel(first->pressure, 0.015));
    for (const WaveBranch& branch : branches) {
        CAPTURE(branch.waves.count);
        CHECK(branch.lift.waves == branch.waves.count);
        CHECK(branch.lift.state.pressure == pressure);
        CHECK(branch.waves.pressure >= first->pressure);
        CHECK(branch.released > 0.0);
        CHECK(branch.lift.state.seat_lift > solution.at(pressure).seat_lift);
    }
}

TEST_CASE("a stack that is round, or over windows, has no other number of waves", "[stack][uneven]") {
    const Solution round(windowed({{15, 0.2}}, 0, 1.0), to_ten_bar);
    CHECK(wave_branches(round, 0.5e5).empty());
    const Solution over_windows(windowed({{15, 0.2}}, 3, 0.5), to_ten_bar);
    REQUIRE(over_windows.uneven(2e5));
    CHECK(wave_branches(over_windows, 2e5).empty());
    const Solution linear(windowed({{15, 0.2}}, 0, 1.0), {Theory::linear, 10e5});
    CHECK(wave_branches(linear, 2e5).empty());
}
