#pragma once

#include <valve/damper/model.hpp>
#include <valve/flow/mixture.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/input.hpp>
#include <valve/motion/moment.hpp>

#include <array>
#include <optional>
#include <span>
#include <vector>

namespace valve::motion::detail {

/// One of the two ways out of C, to R or to S, at a pressure drop [Pa], positive from C.
struct Way {
    double drop = 0.0;
    double flow = 0.0;
    double slope = 0.0;      ///< dQ/dΔp
    double bleed_flow = 0.0; ///< bleeds and leak
    bool beyond = false;
};

/// A damper in time, as its integrator sees it. Unknowns: the excess u = m/ρ − V of oil in C and in R over
/// what fills them at 1 atm, and that in S over A_r x, whose sum never changes; without a base, C holds that
/// of S. Then lift and impulse of each valve that moves. Then energies, which nothing depends on.
class Dynamics final : public Equations {
public:
    /// All arguments must outlive this.
    Dynamics(const damper::Model& model, const MovingValves& valves, const Input& input,
             damper::RodInto rod_into);

    // Equations
    std::size_t size() const override { return m_first_energy + energies; }
    std::size_t coupled() const override { return m_first_energy; }
    std::size_t roots() const override { return 2 + 2 * m_moving.size(); }
    void rates(double t, std::span<const double> y, std::span<double> rates) override;
    void jacobian(double t, std::span<const double> y, Columns result) override;
    void watch(double t, std::span<const double> y, std::span<double> values) override;
    void directions(std::span<int> result) const override;

    /// The state at the beginning: at rest, filled at the pressure of S, valves shut.
    std::vector<double> at_rest();

    /// Error that a step may make of each unknown, `pressure` [Pa] being that of pressures.
    std::vector<double> tolerances(double pressure) const;

    /// What holds from here on.
    void set(std::size_t piece, const Modes& modes);
    const Modes& modes() const { return m_modes; }
    std::size_t piece() const { return m_piece; }

    /// Changes modes where the watched functions say so: those that `signs` has found to change, if any, and
    /// those that have the wrong sign; sets the lift and impulse of valves that arrive. True if anything has
    /// changed.
    bool switch_modes(double t, std::span<double> y, std::span<const int> signs);

    Moment moment(double t, std::span<const double> y);
    Energies energies_of(std::span<const double> y) const;

    /// Stored in oil, plates and reservoir [J], to be compared with itself at another time. The reservoir's
    /// share is none where it does not follow from the state.
    struct Stored {
        double oil = 0.0;
        double plates = 0.0;
        std::optional<double> reservoir;
    };
    Stored stored(double t, std::span<const double> y);

    /// Oil that the reservoir has taken in since full extension [m³].
    double reservoir_volume(double t, std::span<const double> y);
    double oil(std::span<const double> y,
               double t) const; ///< in C, R and, with a base, S over A_r x [m³ at 1 atm]

    double impact_energy() const { return m_impact; } ///< lost on seats and stops [J]
    const std::array<double, 4>& impacts() const { return m_impacts; }
    const std::array<long, 4>& switches() const { return m_switches; } ///< of each valve
    const damper::Model& model() const { return m_model; }

private:
    static constexpr std::size_t energies = 11;
    static constexpr std::size_t chambers = 3;

    struct Snapshot; // all that the rates depend on, and its derivatives
    void evaluate(double t, std::span<const double> y, Snapshot& at);
    void fill_chambers(std::span<const double> y, Snapshot& at);
    void fill_shared_chamber(std::span<const double> y, Snapshot& at);
    void pass(bool piston, double drop, std::span<const double> y, Snapshot& at, Way& way);
    void pass_base(std::span<const double> y, Snapshot& at);
    double watch_reservoir(std::span<const double> y, Snapshot& at, bool in);
    bool switch_valve(std::size_t index, double t, std::span<double> y, int passed, int reached);
    bool switch_reservoir(double t, std::span<const double> y);
    bool out_of_place(double t, std::span<const double> y);
    void add_way(Columns j, bool piston, double sign, std::size_t row, const Snapshot& at) const;
    double end_force(const Snapshot& at, double speed, double travel) const;

    const damper::Model& m_model;
    const MovingValves& m_valves;
    const Input& m_input;
    damper::RodInto m_rod_into;
    flow::Mixture m_mixture;
    std::vector<std::size_t> m_moving;    // places of valves that move
    std::array<std::size_t, 4> m_index{}; // of a place in m_moving
    std::size_t m_first_energy = chambers;
    bool m_has_base = false;
    bool m_is_leg = false;
    double m_friction = 0.0; // of the reservoir's piston [Pa]
    Modes m_modes;
    std::size_t m_piece = 0;
    double m_guess_C = 0.0; // where to look for pressures first
    double m_guess_R = 0.0;
    double m_guess_S = 0.0;
    std::array<double, 4> m_guess_port{}; // of what the ports take
    std::vector<double> m_watched;        // as last computed, at
    std::optional<double> m_watched_at;
    double m_impact = 0.0;
    std::array<double, 4> m_impacts{};
    std::array<long, 4> m_switches{};
};

} // namespace valve::motion::detail
