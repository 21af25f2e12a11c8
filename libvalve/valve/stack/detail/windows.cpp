#include <valve/core/detail/index.hpp>
#include <valve/plate/detail/fourier_element.hpp>
#include <valve/stack/detail/small_motion.hpp>
#include <valve/stack/detail/windows.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::stack {
namespace {

using std::numbers::pi;

using Unknowns = std::vector<plate::VibratingPlate::NodeUnknowns>;

/// Numbers of the w of the face shim that the land holds.
std::vector<int> held_by_land(const Problem& problem, const State& state, const Unknowns& face) {
    std::vector<int> rows;
    for (int k = 0; k < problem.stations(); ++k)
        if (lies_on_land(problem, state, k)) rows.push_back(face[at(k)].front());
    return rows;
}

/// Forces of 1 Pa times cos nθ on the amplitudes of a motion.
Eigen::VectorXd wave_load(const Problem& problem, const Unknowns& face, int unknowns, int n) {
    // The problem's load is the mean of the ring's, and its integral that of 1 in place of cos² nθ.
    const double share = plate::angular_integral(n) / plate::angular_integral(0) / problem.stack().coverage;
    Eigen::VectorXd load = Eigen::VectorXd::Zero(unknowns);
    for (std::size_t e = 0; e + 1 < face.size(); ++e) {
        const Eigen::Vector4d forces = share * problem.unit_load(static_cast<int>(e));
        const std::array<int, 4> rows{face[e][0], face[e][1], face[e + 1][0], face[e + 1][1]};
        for (std::size_t i = 0; i < rows.size(); ++i)
            if (rows[i] >= 0) load[rows[i]] += forces[static_cast<Eigen::Index>(i)];
    }
    return load;
}

constexpr int most_harmonics = 60;

/// The largest that the k-th harmonic can be, whatever the coverage.
double harmonic_bound(int k) {
    return 2.0 / (pi * k);
}

const Stack& with_windows(const Stack& stack) {
    if (stack.windows < 1) throw std::invalid_argument("stack: there are no windows");
    return stack;
}

} // namespace

double window_harmonic(double coverage, int k) {
    if (k == 0) return coverage;
    return 2.0 / (pi * k) * std::sin(pi * k * coverage);
}

std::optional<RingCompliance> ring_compliance(const Problem& problem, const State& state, int n) {
    const plate::Vibration motion = small_motion(problem, &state, n, OnLand::counted);
    const Unknowns& face = motion.plates.front().unknowns;
    std::vector<char> moves(at(motion.unknowns), 1);
    const std::vector<int> held = held_by_land(problem, state, face);
    for (const int row : held)
        moves[at(row)] = 0;
    const plate::BlockTridiagonal stiffness = plate::stiffness(motion);
    plate::BlockCholesky factor(stiffness);
    if (!factor.factor(stiffness, moves)) return std::nullopt;

    const Eigen::VectorXd load = wave_load(problem, face, motion.unknowns, n);
    Eigen::VectorXd shape = load;
    for (const int row : held)
        shape[row] = 0.0;
    factor.solve(shape);
    Eigen::VectorXd resisted(shape.size());
    stiffness.multiply(shape, resisted);

    RingCompliance result;
    if (const int seat = face[at(problem.seat_station())].front(); seat >= 0) result.lift = shape[seat];
    for (const int row : held)
        result.seat_load += (resisted[row] - load[row]) / plate::angular_integral(n);
    return result;
}

std::optional<RingLift> ring_lift(const Problem& problem, const State& state) {
    constexpr double accuracy = 1e-4;
    const Stack& stack = with_windows(problem.stack());
    RingLift ring;
    ring.pressure = state.pressure;
    ring.mean = state.x[problem.opening(problem.seat_station(), 0)] - stack.seat.height;
    ring.mid_port = ring.mid_land = ring.open_arcs = ring.mean;
    double largest = 0.0;
    for (int k = 1; k <= most_harmonics; ++k) {
        const std::optional<RingCompliance> c = ring_compliance(problem, state, k * stack.windows);
        if (!c) return std::nullopt;
        const double a = window_harmonic(stack.coverage, k);
        const double lift = a * state.pressure * c->lift;
        ring.mid_port += lift;
        ring.mid_land += k % 2 == 0 ? lift : -lift;
        ring.open_arcs += lift * 0.5 * a / stack.coverage; // the mean of cos kNθ over a port
        ring.harmonics = k;
        const double bound = harmonic_bound(k) * std::abs(c->lift);
        largest = std::max(largest, bound);
        if (bound <= accuracy * largest) break;
    }
    ring.waviness = 0.5 * std::abs(ring.mid_port - ring.mid_land) / problem.thinnest();
    return ring;
}

std::optional<double> seat_load_mid_port(const Problem& problem, const State& state) {
    constexpr double accuracy = 1e-3;
    const Stack& stack = with_windows(problem.stack());
    double load = 0.0;
    for (int k = 0; k < problem.stations(); ++k)
        if (problem.on_land(k)) load += state.gradient[problem.opening(k, 0)] / (2.0 * pi);
    double rest = 1.0 - stack.coverage; // of the pattern at mid-port, yet to be summed
    double largest = 0.0;
    double last = 0.0;
    for (int k = 1; k <= most_harmonics; ++k) {
        const std::optional<RingCompliance> c = ring_compliance(problem, state, k * stack.windows);
        if (!c) return std::nullopt;
        const double a = window_harmonic(stack.coverage, k);
        load += a * state.pressure * c->seat_load;
        rest -= a;
        largest = std::max(largest, harmonic_bound(k) * std::abs(c->seat_load));
        const double change = harmonic_bound(k) * std::abs(c->seat_load - last);
        last = c->seat_load;
        if (change <= accuracy * largest) break;
    }
    return load + rest * state.pressure * last;
}

} // namespace valve::stack
