#include <valve/plate/detail/added_mass.hpp>
#include <valve/plate/detail/shape.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/motion.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace valve::stack {
namespace {

using std::numbers::pi;

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// The integrals over a stack's shapes. What does not depend on the shape is computed once.
class Inertia {
public:
    explicit Inertia(const Problem& problem)
        : m_problem(problem), m_oil(problem.radius(problem.stations() - 1), 0, plate::Surround::open) {
        for (int e = 0; e + 1 < problem.stations(); ++e) {
            const double inner = problem.radius(e);
            const double size = problem.radius(e + 1) - inner;
            for (std::size_t g = 0; g < plate::gauss8_at.size(); ++g) {
                const double r = inner + size * plate::gauss8_at[g];
                const double area = r * size * plate::gauss8_weight[g]; // over 2π
                m_points.push_back({area, plate::hermite(plate::gauss8_at[g], size), area * m_oil.shapes(r)});
            }
        }
    }

    /// Of a state of the path whose seat lifts at `rate` [m/Pa], above zero.
    MotionSide side(const State& state, double rate) const {
        const Problem::Shapes shapes = m_problem.shapes(state.rate); // linear in the unknowns
        MotionSide side;
        for (int leaf = 0; leaf < m_problem.leaves(); ++leaf) {
            const Shim& shim = m_problem.shim_of(leaf);
            double square = 0.0;
            for_each_point(shapes, leaf, [&](const Point& point, double w) { square += point.area * w * w; });
            side.mass +=
                m_problem.shims_in(leaf) * shim.material.density * shim.thickness * 2.0 * pi * square;
        }
        side.mass /= rate * rate;
        side.oil_volume = oil(shapes) / (rate * rate);
        side.area = m_problem.load().dot(state.rate) / rate;
        side.pressure_slope = 1.0 / rate;
        return side;
    }

private:
    struct Point {
        double area;           ///< r dr [m²]
        Eigen::Vector4d shape; ///< Hermite's, of (w1, w1', w2, w2')
        Eigen::VectorXd oil;   ///< AddedMass::shapes r dr
    };

    /// Calls `use(point, w)` at the integration points of the elements that a leaf reaches.
    template <class Use>
    void for_each_point(const Problem::Shapes& shapes, int leaf, const Use& use) const {
        const std::vector<double>& w = shapes.w[at(leaf)];
        const std::vector<double>& slope = shapes.slope[at(leaf)];
        for (std::size_t e = 0; e + 1 < w.size(); ++e)
            for (std::size_t g = 0; g < plate::gauss8_at.size(); ++g) {
                const Point& point = m_points[e * plate::gauss8_at.size() + g];
                use(point, point.shape.dot(Eigen::Vector4d(w[e], slope[e], w[e + 1], slope[e + 1])));
            }
    }

    /// Added mass over the oil's density: each face moves half of it, the lowest leaf at a radius the one,
    /// the topmost the other.
    double oil(const Problem::Shapes& shapes) const {
        Eigen::VectorXd sum = Eigen::VectorXd::Zero(m_oil.weights().size());
        const auto add = [&](int leaf, std::size_t from) { // its half, beyond the element `from`
            const Point* begin = m_points.data() + from * plate::gauss8_at.size();
            for_each_point(shapes, leaf, [&](const Point& point, double w) {
                if (&point >= begin) sum += 0.5 * w * point.oil;
            });
        };
        std::size_t covered = 0; // elements whose lowest leaf is found
        for (int leaf = 0; leaf < m_problem.leaves(); ++leaf)
            if (shapes.w[at(leaf)].size() > covered + 1) {
                add(leaf, covered);
                covered = shapes.w[at(leaf)].size() - 1;
            }
        covered = 0;
        for (int leaf = m_problem.leaves(); leaf-- > 0;)
            if (shapes.w[at(leaf)].size() > covered + 1) {
                add(leaf, covered);
                covered = shapes.w[at(leaf)].size() - 1;
            }
        return sum.cwiseAbs2().dot(m_oil.weights());
    }

    const Problem& m_problem;
    plate::AddedMass m_oil;
    std::vector<Point> m_points;
};

} // namespace

Motion motion_of(Path& path, const Followed& followed, const LiftLaw& law) {
    constexpr double resolved = 1e-9; // lifts that the solver tells apart [m]
    const std::vector<LiftPoint>& curve = followed.curve.points;
    const Inertia inertia(path.problem());
    const auto state_at = [&](double pressure) { return path.with_own_rates(*path.at(pressure)); };
    std::vector<MotionPoint> points;
    bool stops = false;
    for (std::size_t i = 0; i < curve.size() && !stops; ++i) {
        const auto [before, after] = followed.sides[i];
        const double lift = curve[i].pressure <= law.opening_pressure() ? 0.0 : curve[i].seat_lift;
        const bool opens =
            points.empty() && i + 1 < curve.size() && curve[i].pressure >= law.opening_pressure();
        if (points.empty() && !opens) continue;
        if (!points.empty() && !(lift > points.back().lift + resolved)) continue;
        MotionPoint point{lift, curve[i].pressure, {}, {}};
        // Where the lift stands still on one side, it moves as on the other.
        const State above = state_at(after);
        const State below = before == after ? above : state_at(before);
        const bool from_below = !points.empty() && path.lift_rate(below) > 0.0;
        const bool goes_on = path.lift_rate(above) > 0.0;
        if (!from_below && !goes_on) continue;
        point.above =
            goes_on ? inertia.side(above, path.lift_rate(above)) : inertia.side(below, path.lift_rate(below));
        point.below =
            from_below && before != after ? inertia.side(below, path.lift_rate(below)) : point.above;
        points.push_back(point);
        stops = !goes_on;
    }
    if (points.size() < 2)
        throw SolveError("up to the end of its lift curve the stack does not open, so that nothing moves");
    return {std::move(points), stops};
}

Motion motion_of_disc(const Stack& stack, const LiftCurve& curve, const LiftLaw& law) {
    const double a = stack.disc->outer_radius;
    const MotionSide side{stack.disc->mass, 8.0 / 3.0 * a * a * a, curve.load_area,
                          closing_rate(stack) / curve.load_area};
    std::vector<MotionPoint> points;
    const double rest = stack.floating->travel - stack.seat.height;
    for (const LiftPoint& point : curve.points)
        if (point.pressure >= law.opening_pressure() &&
            (points.empty() || point.seat_lift > points.back().lift))
            points.push_back({point.seat_lift, point.pressure, side, side});
    if (points.size() < 2)
        throw SolveError("up to the end of its lift curve the disc does not open, so that nothing moves");
    points.front().lift = 0.0;
    const bool stops = points.back().lift >= (1.0 - 1e-12) * rest;
    return {std::move(points), stops};
}

} // namespace valve::stack
