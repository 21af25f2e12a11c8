#include <support/catch.hpp>
#include <valve/core/cubic.hpp>
#include <valve/core/monotone.hpp>

#include <vector>

using namespace valve;

namespace {

// 2 − 3 x + 0.5 x² + 4 x³ and its derivatives.
double value(double x) {
    return 2.0 - 3.0 * x + 0.5 * x * x + 4.0 * x * x * x;
}
double slope(double x) {
    return -3.0 + x + 12.0 * x * x;
}
double bend(double x) {
    return 1.0 + 24.0 * x;
}

} // namespace

TEST_CASE("the cubic of values and slopes at two ends is the polynomial they are of", "[core][cubic]") {
    const double from = -0.4;
    const double width = 1.3;
    const Cubic cubic(width, {value(from), slope(from)}, {value(from + width), slope(from + width)});
    for (const double s : {0.0, 0.2, 0.5, 0.9, 1.0}) {
        CAPTURE(s);
        const double x = from + s * width;
        CHECK_THAT(cubic.at(s).value, WithinAbs(value(x), 1e-13)); // rounding of terms up to 10
        CHECK_THAT(cubic.at(s).slope, WithinAbs(slope(x), 1e-13));
        CHECK_THAT(cubic.bend(s), WithinAbs(bend(x), 1e-13));
    }
    CHECK_THAT(cubic.c3(), WithinRel(4.0 * width * width, 1e-13));
    CHECK_THAT(cubic.c2(), WithinRel(0.5 * bend(from) * width, 1e-12));
}

TEST_CASE("slopes between points are weighted harmonic means of the secants, none at a turn",
          "[core][cubic]") {
    // fritsch_butland_1984 by hand: intervals 1 and 2, secants 2 and 0.5: the weight of the left one's
    // inverse is (2·2 + 1)/9 and 1/(5/9 / 2 + 4/9 / 0.5) = 6/7.
    const std::vector<double> slopes = monotone_slopes({0.0, 1.0, 3.0, 4.0}, {0.0, 2.0, 3.0, 1.0});
    REQUIRE(slopes.size() == 4);
    CHECK(slopes[0] == 2.0);
    CHECK_THAT(slopes[1], WithinRel(6.0 / 7.0, 1e-14));
    CHECK(slopes[2] == 0.0);
    CHECK(slopes[3] == -2.0);
}
