#include <valve/damper/steady.hpp>
#include <valve/motion/detail/moving_damper.hpp>
#include <valve/motion/stability.hpp>

#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <span>
#include <vector>

namespace valve::motion {

namespace {

using damper::Place;
using detail::MovingDamper;

/// A damper at constant rod speed and travel.
class HeldRod {
public:
    HeldRod(const damper::Model& model, const MovingValves& valves, double speed, double travel)
        : m_rod{travel, speed}, m_valves(valves), m_damper(model, valves, damper::RodInto::atmosphere),
          m_y(m_damper.at_rest(travel)), m_unused(2 * m_y.size()) {
        for (const Place place : damper::all_places)
            if (valves[place]) m_moving.push_back(place);
    }

    /// Moves all unknowns to the steady state near `start`, of the steady law.
    void settle(const damper::NetworkState& start) {
        begin_at(start);
        // The oil never changes: what one chamber holds is given, and its balance follows from the others'.
        // Without a base S has no oil of its own.
        const std::vector<Eigen::Index> given = m_damper.model().base() != nullptr
                                                    ? std::vector<Eigen::Index>{2}
                                                    : std::vector<Eigen::Index>{0, 2};
        constexpr int most = 50;
        constexpr double near = 1e-3;   // of what is of no account; a step so short leaves its square
        constexpr double angular = 2e3; // [1/s], of a valve's slower swings
        const std::vector<double> scale = m_damper.tolerances(p_of_no_account, lift_of_no_account, angular);
        for (int step = 0; step < most; ++step) {
            Eigen::VectorXd open = rates();
            Eigen::MatrixXd slopes = jacobian();
            for (const Eigen::Index k : given) {
                open[k] = 0.0;
                hold(slopes, k);
            }
            for (const Place place : m_moving) {
                if (seating(place) != Seating::open) {
                    hold(slopes, lift_of(place));
                    hold(slopes, lift_of(place) + 1);
                }
                const std::optional<Eigen::Index> flow = flow_of(place);
                if (flow && seating(place) == Seating::shut) hold(slopes, *flow);
            }
            const Eigen::VectorXd change = slopes.partialPivLu().solve(-open);
            double largest = 0.0;
            for (Eigen::Index k = 0; k < change.size(); ++k) {
                m_y[static_cast<std::size_t>(k)] += change[k];
                largest = std::max(largest, std::abs(change[k]) / scale[static_cast<std::size_t>(k)]);
            }
            if (!change.allFinite()) break; // the largest of numbers knows nothing of one that is none
            if (largest <= near) return;
        }
        throw SolveError(fmt::format("at {:.4g} m/s and {:.4g} mm travel the valves find no place to stay in",
                                     m_rod.speed, m_rod.travel * 1e3));
    }

    /// Of the unknowns that move: chambers, valves off their seats, the reservoir's piston where it has mass.
    std::optional<Oscillation> least_damped() {
        std::vector<Eigen::Index> free{0, 1, 2};
        std::vector<Place> open;
        std::vector<Eigen::Index> impulses; // their places in `free`
        for (const Place place : m_moving) {
            const std::optional<Eigen::Index> flow = flow_of(place);
            if (seating(place) == Seating::open) {
                impulses.push_back(static_cast<Eigen::Index>(free.size()) + 1);
                free.insert(free.end(), {lift_of(place), lift_of(place) + 1});
                open.push_back(place);
            }
            if (flow && seating(place) != Seating::shut) free.push_back(*flow);
        }
        if (m_damper.modes().grip != Grip::stuck)
            for (const auto& of_reservoir : {m_damper.intake_of(), m_damper.taken_in_of()})
                if (of_reservoir) free.push_back(static_cast<Eigen::Index>(*of_reservoir));
        if (open.empty()) return std::nullopt;
        const Eigen::MatrixXd slopes = jacobian();
        const Eigen::MatrixXd part = slopes(free, free);
        const Eigen::EigenSolver<Eigen::MatrixXd> modes(part);
        std::optional<Oscillation> worst;
        for (Eigen::Index k = 0; k < part.rows(); ++k) {
            const std::complex<double> rate = modes.eigenvalues()[k];
            if (!(rate.imag() > 0.0) || (worst && rate.real() <= worst->growth)) continue;
            // The square of an impulse is twice the energy of motion.
            const Eigen::VectorXcd shape = modes.eigenvectors().col(k);
            std::size_t most = 0;
            const auto impulse = [&](std::size_t i) { return std::abs(shape[impulses[i]]); };
            for (std::size_t i = 1; i < open.size(); ++i)
                if (impulse(i) > impulse(most)) most = i;
            worst = Oscillation{rate.real(), rate.imag() / (2.0 * std::numbers::pi), open[most]};
        }
        return worst;
    }

private:
    static constexpr double p_of_no_account = 1.0;     // [Pa]
    static constexpr double lift_of_no_account = 1e-9; // [m]

    Eigen::Index lift_of(Place place) const {
        return static_cast<Eigen::Index>(m_damper.lift_of(static_cast<std::size_t>(place)));
    }
    std::optional<Eigen::Index> flow_of(Place place) const {
        const std::optional<std::size_t> flow = m_damper.flow_of(static_cast<std::size_t>(place));
        return flow ? std::optional(static_cast<Eigen::Index>(*flow)) : std::nullopt;
    }
    Seating seating(Place place) const {
        return m_damper.modes().seating.at(static_cast<std::size_t>(place));
    }

    static void hold(Eigen::MatrixXd& slopes, Eigen::Index row) {
        slopes.row(row).setZero();
        slopes(row, row) = 1.0;
    }

    void begin_at(const damper::NetworkState& start) {
        m_y = m_damper.filled(m_rod.travel, start.pressure.C, start.pressure.R);
        Modes modes = m_damper.modes();
        const double intake = m_damper.model().network().intake(start);
        if (modes.grip != Grip::free && intake != 0.0) modes.grip = intake > 0.0 ? Grip::in : Grip::out;
        if (const auto flow = m_damper.intake_of()) m_y[*flow] = intake;
        for (const Place moving : m_moving) {
            const auto place = static_cast<std::size_t>(moving);
            const flow::LinkState& link = damper::at_piston(moving) ? start.piston : start.base.value();
            const bool forward = damper::stroke_of(moving) == damper::Stroke::compression;
            const double lift = (link.dp > 0.0) == forward ? link.lift : 0.0;
            const std::optional<double>& stop = m_valves[moving]->profile().stop();
            modes.seating[place] = !(lift > 0.0)           ? Seating::shut
                                   : stop && lift >= *stop ? Seating::stopped
                                                           : Seating::open;
            m_y[static_cast<std::size_t>(lift_of(moving))] = lift;
            if (const auto flow = m_damper.flow_of(place); flow && lift > 0.0)
                m_y[*flow] = forward ? link.stack_flow : -link.stack_flow;
        }
        m_damper.set(modes);
    }

    Eigen::VectorXd rates() {
        Eigen::VectorXd result(size());
        std::array<double, MovingDamper::energies> energies{};
        m_damper.rates(m_rod, m_y, {result.data(), m_y.size()}, energies);
        return result;
    }

    Eigen::MatrixXd jacobian() {
        Eigen::MatrixXd result = Eigen::MatrixXd::Zero(size(), size());
        const std::span<double> along(m_unused);
        m_damper.jacobian(m_rod, m_y,
                          detail::Block(detail::Columns(result.data(), m_y.size()), 0,
                                        along.first(m_y.size()), along.last(m_y.size())));
        return result;
    }

    Eigen::Index size() const { return static_cast<Eigen::Index>(m_y.size()); }

    RodMotion m_rod;
    const MovingValves& m_valves;
    MovingDamper m_damper;
    std::vector<double> m_y;
    std::vector<double> m_unused; // derivatives by travel and speed
    std::vector<Place> m_moving;
};

} // namespace

std::optional<Oscillation> least_damped(const damper::Model& model, const MovingValves& valves, double speed,
                                        double travel) {
    const damper::NetworkState steady = damper::network_state(model, speed, travel);
    if (steady.cavitated) return std::nullopt;
    HeldRod rod(model, valves, speed, travel);
    rod.settle(steady);
    return rod.least_damped();
}

} // namespace valve::motion
