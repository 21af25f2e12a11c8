#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/core/cubic.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>
#include <vector>

using namespace valve::stack;
using std::numbers::pi;
using testing::windowed;

namespace {

const FollowOptions to_ten_bar{Theory::large_deflection, 10e5};

/// The intervals of a motion from where it takes over, up to `most`.
std::vector<std::vector<MotionPoint>> intervals(const Solution& solution, double most, bool over_ports) {
    std::vector<std::vector<MotionPoint>> found;
    const double end = std::min(most, solution.uneven_end());
    for (double pressure = solution.uneven_from(most).value(); pressure < end;
         pressure = solution.uneven_next(pressure))
        found.push_back(solution.uneven_motion(pressure, over_ports));
    return found;
}

LiftLaw::Value law(const Solution& solution, double pressure, bool over_ports) {
    const UnevenLawValue value = solution.uneven_law(pressure);
    return over_ports ? value.open_arcs : value.ring;
}

void check_is_law(const Solution& solution, const std::vector<MotionPoint>& points, bool over_ports) {
    for (std::size_t i = 0; i < points.size(); ++i) {
        CAPTURE(points[i].pressure);
        CHECK(points[i].lift == law(solution, points[i].pressure, over_ports).lift);
        for (const MotionSide& side : {points[i].below, points[i].above})
            CHECK((side.mass > 0.0 && side.oil_volume > 0.0 && side.area > 0.0));
        if (i == 0) continue;
        const MotionPoint& low = points[i - 1];
        const double rise = points[i].lift - low.lift;
        CHECK(rise > 0.0);
        for (const double share : {0.1, 0.37, 0.62, 0.9}) {
            const double pressure = valve::hermite(rise, share, {low.pressure, low.above.pressure_slope},
                                                   {points[i].pressure, points[i].below.pressure_slope})
                                        .value;
            const double lift = low.lift + share * rise;
            CHECK_THAT(law(solution, pressure, over_ports).lift, WithinAbs(lift, 2e-5 * lift + 3e-9));
        }
    }
}

} // namespace

TEST_CASE("a stack in waves moves along its flow law", "[stack][motion][uneven]") {
    const Solution solution(windowed({{15, 0.2}, {13, 0.15}}, 0, 1.0), to_ten_bar);
    const double begin = solution.uneven_from(10e5).value();
    double lift = solution.law().at(begin).lift;
    for (const std::vector<MotionPoint>& points : intervals(solution, 4.0 * begin, false)) {
        REQUIRE(points.size() >= 2);
        CHECK(points.front().lift == lift);
        lift = points.back().lift;
        check_is_law(solution, points, false);
    }
    const double end = solution.uneven_end();
    CHECK(solution.uneven_motion(end, false).empty());
    CHECK_THROWS_AS(solution.uneven_motion(0.9 * begin, false), std::invalid_argument);
}

TEST_CASE("the area of a motion in waves is what the load sweeps, per lift", "[stack][motion][uneven]") {
    const Solution solution(windowed({{15, 0.2}, {13, 0.15}}, 0, 1.0), to_ten_bar);
    const double begin = solution.uneven_from(10e5).value();
    RingPath path(solution.stack(), solution.waves_up_to(begin));
    const auto swept = [&](double pressure) { return path.problem().swept(path.state_at(pressure)->x); };
    const auto found = intervals(solution, 5.0 * begin, false);
    for (std::size_t i = 1; i < found.size(); ++i) {
        const std::vector<MotionPoint>& points = found[i];
        CAPTURE(points.front().pressure / begin);
        double sum = 0.0;
        for (std::size_t k = 1; k < points.size(); ++k)
            sum += 0.5 * (points[k].below.area + points[k - 1].above.area) *
                   (points[k].lift - points[k - 1].lift);
        CHECK_THAT(sum, WithinRel(swept(points.back().pressure) - swept(points.front().pressure), 0.02));
    }
}

TEST_CASE("the mass of a motion in waves is that of its metal, all round", "[stack][motion][uneven]") {
    const Stack stack = windowed({{15, 0.2}, {13, 0.15}}, 0, 1.0);
    const Solution solution(stack, to_ten_bar);
    const double begin = solution.uneven_from(10e5).value();
    const std::vector<MotionPoint> points = intervals(solution, 3.0 * begin, false).back();
    const double pressure = points.front().pressure; // a state of its own

    // By differences of the states, at angles and radii of this test's own.
    RingPath path(stack, solution.waves_up_to(begin));
    const RingProblem& problem = path.problem();
    const valve::plate::RingBasis& basis = problem.basis();
    const double step = 1e-4 * pressure;
    const Eigen::VectorXd up = path.state_at(pressure + step)->x;
    const Eigen::VectorXd down = path.state_at(pressure - step)->x;
    constexpr int angles = 60;
    constexpr int parts = 12;
    double mass = 0.0;
    for (int leaf = 0; leaf < problem.round().leaves(); ++leaf) {
        const Shim& shim = stack.shims[static_cast<std::size_t>(leaf)];
        const auto rates = [&](int station) {
            const RingProblem::LeafAt high = problem.leaf_at(up, leaf, station);
            const RingProblem::LeafAt low = problem.leaf_at(down, leaf, station);
            const auto harmonics = [&](const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
                return Eigen::VectorXd(basis.coefficients() * (a - b) / (2.0 * step));
            };
            return std::pair{harmonics(high.w, low.w), harmonics(high.slope, low.slope)};
        };
        for (int s = 0; s < problem.round().last_station(leaf); ++s) {
            const auto [w0, d0] = rates(s);
            const auto [w1, d1] = rates(s + 1);
            const double inner = problem.round().radius(s);
            const double width = problem.round().radius(s + 1) - inner;
            for (int part = 0; part < parts; ++part)
                for (int a = 0; a < angles; ++a) {
                    const double t = (part + 0.5) / parts;
                    const double angle = 2.0 * pi * (a + 0.5) / angles;
                    double w = 0.0;
                    for (Eigen::Index k = 0; k < w0.size(); ++k)
                        w += std::cos(static_cast<double>(k) * basis.waves() * angle) *
                             valve::hermite(width, t, {w0[k], d0[k]}, {w1[k], d1[k]}).value;
                    mass += shim.material.density * shim.thickness * w * w * (inner + t * width) * width /
                            parts * 2.0 * pi / angles;
                }
        }
    }
    const double rate = solution.uneven_law(pressure).ring.slope;
    CHECK_THAT(points.front().above.mass, WithinRel(mass / (rate * rate), 2e-3));
}

TEST_CASE("over windows that are the whole ring a stack moves as a round one", "[stack][motion][uneven]") {
    const Stack stack = windowed({{15, 0.2}, {12, 0.2}}, 4, 1.0);
    const Solution whole(stack, to_ten_bar);
    const Motion& round = whole.motion();
    const double buckles = whole.waves_up_to(10e5)->pressure;
    int compared = 0;
    for (const std::vector<MotionPoint>& points : intervals(whole, 0.8 * buckles, false)) {
        const MotionPoint& here = points.back();
        const auto above = std::find_if(round.points.begin(), round.points.end(),
                                        [&](const auto& point) { return point.pressure >= here.pressure; });
        if (here.pressure < 0.02e5 || above == round.points.end()) continue;
        const MotionPoint& low = *std::prev(above);
        const double share = (here.pressure - low.pressure) / (above->pressure - low.pressure);
        const auto round_value = [&](double MotionSide::*part) {
            return (1.0 - share) * low.above.*part + share * above->below.*part;
        };
        CAPTURE(here.pressure);
        for (double MotionSide::*part : {&MotionSide::mass, &MotionSide::oil_volume, &MotionSide::area})
            CHECK_THAT(here.below.*part, WithinRel(round_value(part), 0.02));
        ++compared;
    }
    CHECK(compared > 3);
}

TEST_CASE("over windows a stack moves along the law of its open arcs", "[stack][motion][uneven]") {
    for (const double height : {0.0, 0.1}) {
        const Solution solution(windowed({{15, 0.2}}, 3, 0.5, height), to_ten_bar);
        const auto found = intervals(solution, 3e5, true);
        REQUIRE(found.size() > 3);
        CHECK(found.front().front().lift == 0.0);
        for (const std::vector<MotionPoint>& points : found)
            check_is_law(solution, points, true);
    }
}
