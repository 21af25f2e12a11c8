#include <support/catch.hpp>
#include <valve/core/root.hpp>

#include <cmath>

using valve::find_root;
using valve::Root;
using valve::ValueSlope;

namespace {

constexpr double rounding = 1e-14;

} // namespace

TEST_CASE("a root is found to rounding whatever its size", "[core][root]") {
    for (int decade = -30; decade <= 30; ++decade) {
        const double wanted = 3.7 * std::pow(10.0, decade);
        CAPTURE(wanted);
        const auto cube = [&](double x) {
            const double ratio = x / wanted;
            return ValueSlope{ratio * ratio * ratio - 1.0, 3.0 * ratio * ratio / wanted};
        };
        for (const double start : {0.0, 1e-20, 1.0, 1e40}) {
            const Root root = find_root(cube, 0.0, 1e40, start);
            CHECK(root.converged);
            CHECK_THAT(root.x, WithinRel(wanted, rounding));
            CHECK(root.iterations < 40);
        }
    }
}

TEST_CASE("a root is found where Newton's steps lead nowhere", "[core][root]") {
    const auto arctangent = [](double x) {
        return ValueSlope{std::atan(x - 2.0), 1.0 / (1.0 + (x - 2.0) * (x - 2.0))};
    };
    const Root far = find_root(arctangent, 0.0, 1e6, 1e6);
    CHECK(far.converged);
    CHECK_THAT(far.x, WithinRel(2.0, rounding));

    const auto flat_then_steep = [](double x) {
        return ValueSlope{x < 5.0 ? -1.0 : x - 6.0, x < 5.0 ? 0.0 : 1.0};
    };
    const Root flat = find_root(flat_then_steep, 0.0, 100.0, 0.0);
    CHECK(flat.converged);
    CHECK_THAT(flat.x, WithinRel(6.0, rounding));

    const auto wrong_slope = [](double x) { return ValueSlope{x - 1.0 / 3.0, -1.0}; };
    const Root wrong = find_root(wrong_slope, 0.0, 1.0, 0.9);
    CHECK(wrong.converged);
    CHECK_THAT(wrong.x, WithinRel(1.0 / 3.0, rounding));
}

TEST_CASE("a root at an end of the bracket is found", "[core][root]") {
    const auto line = [](double x) { return ValueSlope{x - 1.0, 1.0}; };
    CHECK(find_root(line, 1.0, 2.0, 1.5).x == 1.0);
    CHECK(find_root(line, 0.0, 1.0, 0.5).x == 1.0);
    CHECK(find_root(line, 1.0, 1.0, 1.0).x == 1.0);
    const auto through_zero = [](double x) { return ValueSlope{x, 1.0}; };
    CHECK(find_root(through_zero, 0.0, 1.0, 1.0).converged);
}

TEST_CASE("a function without a number is reported", "[core][root]") {
    const auto nothing = [](double) { return ValueSlope{std::nan(""), 1.0}; };
    CHECK_FALSE(find_root(nothing, 0.0, 1.0, 0.5).converged);
}
