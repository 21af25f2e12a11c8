#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/uneven_shape.hpp>

#include <cmath>
#include <cstddef>
#include <numbers>

namespace valve::stack {

struct UnevenShapes::Path {
    Path(const Stack& stack, const std::optional<Waves>& waves) : ring(stack, waves) {}

    RingPath ring;
};

namespace {

/// Points of an element beyond its inner edge, for shims that bend within it.
constexpr int parts = 3;

/// Shims at one node of the basis, by the cubics of their elements.
std::vector<ShimShape> shapes_at(const RingProblem& problem, const Eigen::VectorXd& x, int node) {
    const Problem& round = problem.round();
    std::vector<ShimShape> shims;
    for (int leaf = 0; leaf < round.leaves(); ++leaf) {
        std::vector<double> radius;
        std::vector<double> lift;
        RingProblem::LeafAt low = problem.leaf_at(x, leaf, 0);
        radius.push_back(round.radius(0));
        lift.push_back(low.w[node]);
        for (int station = 1; station <= round.last_station(leaf); ++station) {
            const RingProblem::LeafAt high = problem.leaf_at(x, leaf, station);
            const double from = round.radius(station - 1);
            const double width = round.radius(station) - from;
            for (int part = 1; part <= parts; ++part) {
                const double t = static_cast<double>(part) / parts;
                const double rise = t * t * (3.0 - 2.0 * t);
                radius.push_back(from + t * width);
                lift.push_back((1.0 - rise) * low.w[node] + rise * high.w[node] +
                               width * t * (1.0 - t) * ((1.0 - t) * low.slope[node] - t * high.slope[node]));
            }
            low = high;
        }
        for (int shim = round.first_shim(leaf); shim <= round.last_shim(leaf); ++shim)
            shims.push_back({shim, radius, lift});
    }
    return shims;
}

} // namespace

UnevenShapes::UnevenShapes(const Solution& solution, double most) {
    const Stack& stack = solution.stack();
    if (is_taken_for_round(stack, solution.options().theory)) return;
    std::optional<Waves> waves;
    if (stack.windows < 1 && !(waves = solution.waves_up_to(most))) return;
    m_path = std::make_unique<Path>(stack, waves);
}

UnevenShapes::~UnevenShapes() = default;

bool UnevenShapes::is_uneven(double pressure) const {
    return m_path && m_path->ring.is_uneven(pressure);
}

std::optional<UnevenShape> UnevenShapes::at(double pressure) {
    if (!is_uneven(pressure)) return std::nullopt;
    RingPath& path = m_path->ring;
    std::optional<UnevenLift> lift = path.at(pressure);
    if (!lift) return std::nullopt;
    const State state = path.state_at(pressure).value();
    const RingProblem& problem = path.problem();
    const plate::RingBasis& basis = problem.basis();
    UnevenShape shape{
        *lift, shapes_at(problem, state.x, 0), shapes_at(problem, state.x, basis.nodes() - 1), {}, {}};

    const Eigen::VectorXd harmonics =
        basis.coefficients() * problem.face_lift(state.x, problem.round().seat_station());
    const int steps = 4 * basis.intervals();
    for (int i = 0; i <= steps; ++i) {
        const double angle = std::numbers::pi / basis.waves() * i / steps;
        double sum = -problem.round().stack().seat.height;
        for (Eigen::Index k = 0; k < harmonics.size(); ++k)
            sum += harmonics[k] * std::cos(static_cast<double>(k) * basis.waves() * angle);
        shape.angle.push_back(angle);
        shape.seat_lift.push_back(sum);
    }
    return shape;
}

} // namespace valve::stack
