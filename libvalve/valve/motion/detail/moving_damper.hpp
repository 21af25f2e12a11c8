#pragma once

#include <valve/core/root.hpp>
#include <valve/damper/model.hpp>
#include <valve/flow/mixture.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_reservoir.hpp>
#include <valve/motion/input.hpp>
#include <valve/motion/moment.hpp>

#include <array>
#include <limits>
#include <memory>
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

/// Slopes of the force on the rod.
struct ForceSlopes {
    double by_excess_C = 0.0; ///< by u of C [N/m³]
    double by_excess_R = 0.0;
    double by_intake = 0.0; ///< by what the reservoir has taken in, where that is an unknown [N/m³]
    double by_travel = 0.0; ///< [N/m]
    double by_speed = 0.0;  ///< [N s/m]
};

/// Where a damper's part of a Jacobian goes, and its derivatives by the rod's travel and speed.
class Block {
public:
    /// Unknown 0 of the damper is `first` of `matrix`; `by_travel` and `by_speed` as long as its unknowns.
    Block(Columns matrix, std::size_t first, std::span<double> by_travel, std::span<double> by_speed)
        : m_matrix(matrix), m_first(first), m_by_travel(by_travel), m_by_speed(by_speed) {}

    double& operator()(std::size_t row, std::size_t column) const {
        return m_matrix(m_first + row, m_first + column);
    }
    double& by_travel(std::size_t row) const { return m_by_travel[row]; }
    double& by_speed(std::size_t row) const { return m_by_speed[row]; }

private:
    Columns m_matrix;
    std::size_t m_first;
    std::span<double> m_by_travel;
    std::span<double> m_by_speed;
};

/// A damper in time whose rod is moved by something else. Unknowns: the excess u = m/ρ − V of oil in C and in
/// R over what fills them at 1 atm, and that in S over A_r x, whose sum never changes; without a base, C
/// holds that of S. Then lift and impulse of each valve that moves, and the flow of its ports where the oil
/// in them has inertia. Then, where the reservoir's piston has a mass m, what it takes in, q = A_s u:
/// m/A_s² q' = p_S − p_S0(V_S) − F_f/A_s sgn(q), p_S on its oil side, where the base passes q; without a base
/// p_S = p_C, and V_S over A_r x is an unknown after it. The piston stops dead at the ends of its way.
/// Energies, which nothing depends on, are kept apart from them.
class MovingDamper {
public:
    static constexpr std::size_t energies = 11;

    /// Model and valves must outlive this. Throws as require_all_or_none().
    MovingDamper(const damper::Model& model, const MovingValves& valves, damper::RodInto rod_into);
    MovingDamper(MovingDamper&& other) noexcept;
    ~MovingDamper();

    std::size_t unknowns() const { return m_unknowns; }
    std::size_t roots() const { return 2 + 2 * m_moving.size() + (has_mass() ? 2 : 0); }

    /// The unknown that is the lift of the valve at `place`, which moves; its impulse is the next.
    std::size_t lift_of(std::size_t place) const { return m_lift[place]; }
    /// That of the flow of its ports; none where their oil follows at once.
    std::optional<std::size_t> flow_of(std::size_t place) const { return m_flow[place]; }

    /// That of the flow into the reservoir; none where its piston has no mass.
    std::optional<std::size_t> intake_of() const {
        return has_mass() ? std::optional(m_intake) : std::nullopt;
    }
    /// That of V_S over A_r x; none with a base, or where the piston has no mass.
    std::optional<std::size_t> taken_in_of() const {
        return has_mass() && !m_has_base ? std::optional(m_intake + 1) : std::nullopt;
    }

    /// Rates of the unknowns and of the energies; the force on the rod [N].
    double rates(const RodMotion& rod, std::span<const double> y, std::span<double> rates,
                 std::span<double> energy);

    double force(const RodMotion& rod, std::span<const double> y); ///< the force alone

    /// Adds to a Jacobian.
    void jacobian(const RodMotion& rod, std::span<const double> y, Block j);
    ForceSlopes force_slopes(const RodMotion& rod, std::span<const double> y);

    /// The functions whose change of sign ends what holds; `t` tells one moment from another.
    void watch(double t, const RodMotion& rod, std::span<const double> y, std::span<double> values);
    void directions(std::span<int> result) const;

    /// The state at rest at `travel` [m], filled at the pressure of S, valves shut.
    std::vector<double> at_rest(double travel);

    /// At `travel` [m], C and R filled at the pressures given [Pa], what the rod displaces in S, valves shut.
    std::vector<double> filled(double travel, double p_C, double p_R) const;

    /// Error that a step may make of each unknown, `pressure` [Pa] being that of pressures, `lift` [m] that
    /// of lifts, and of their rates what goes with it in a swing of `angular` [1/s].
    std::vector<double> tolerances(double pressure, double lift, double angular) const;

    /// Of 1 atm on the piston over `stroke` [m] [J].
    double work_of_atmosphere(double stroke) const;

    /// What holds from here on.
    void set(const Modes& modes);
    const Modes& modes() const { return m_modes; }

    /// Changes modes where the watched functions say so: those that `signs` has found to change, if any, and
    /// those that have the wrong sign; sets the lift and impulse of valves that arrive. True if anything has
    /// changed.
    bool switch_modes(double t, const RodMotion& rod, std::span<double> y, std::span<const int> signs);

    Moment moment(double t, const RodMotion& rod, std::span<const double> y);

    /// Of those that ride along, what goes into the reservoir only where it does not follow from the state;
    /// what its piston has lost at its ends counts as its friction.
    Energies energies_of(std::span<const double> energy) const;

    /// Stored in oil, plates and reservoir, its piston's motion included [J], to be compared with itself at
    /// another time. The reservoir's share is none where it does not follow from the state, the air of a leg
    /// being compressed by the rod as well.
    struct Stored {
        double oil = 0.0;
        double plates = 0.0;
        std::optional<double> reservoir;
    };
    Stored stored(const RodMotion& rod, std::span<const double> y);

    /// Oil that the reservoir has taken in since full extension [m³].
    double reservoir_volume(const RodMotion& rod, std::span<const double> y);
    double oil(std::span<const double> y,
               double travel) const; ///< in C, R and, with a base, S over A_r x [m³ at 1 atm]

    /// Lost on seats and stops, and where oil in ports is stopped [J].
    double impact_energy() const { return m_impact; }
    const std::array<double, 4>& impacts() const { return m_impacts; }
    const std::array<long, 4>& switches() const { return m_switches; } ///< of each valve
    bool has_moving_valves() const { return !m_moving.empty(); }
    std::vector<std::size_t> lifts() const; ///< which of the unknowns they are
    const damper::Model& model() const { return m_model; }

private:
    static constexpr std::size_t chambers = 3;
    static constexpr double at_end = 1e-11; // of where the piston's way ends [m³]

    struct Snapshot; // all that the rates depend on, and its derivatives
    struct Kept;
    const Snapshot& evaluate(const RodMotion& rod, std::span<const double> y); // holds until asked again
    void compute(const RodMotion& rod, std::span<const double> y, Snapshot& at);
    void fill_chambers(std::span<const double> y, Snapshot& at);
    void fill_shared_chamber(std::span<const double> y, Snapshot& at);
    void pass(bool piston, double drop, std::span<const double> y, Snapshot& at, Way& way);
    void pass_base(std::span<const double> y, Snapshot& at);
    void pass_given(double flow, std::span<const double> y, Snapshot& at);
    double least_loose() const;
    bool has_mass() const { return m_inertance > 0.0; }
    bool passes_given() const { return has_mass() || m_modes.grip == Grip::stuck; } // the base
    double friction_of(Grip grip) const;
    double sliding_friction() const { return friction_of(m_modes.grip); }
    void move_piston(std::span<const double> y, Snapshot& at) const;
    void add_piston(Block j, const Snapshot& at) const;
    void add_given_drop(Block j, std::size_t row, double by_drop, const Snapshot& at) const;
    enum class End { none, empty, full };
    End piston_end(double volume) const;
    void stop_piston(double taken_in, std::span<double> y);
    void watch_ends(const Snapshot& at, std::span<double> values) const;
    bool meets_end(const Snapshot& at, std::span<const int> ends) const;
    bool rebounds(std::size_t place, Seating there, const RodMotion& rod, std::span<double> y);
    void lose(std::size_t place, double energy);
    void set_flow(std::size_t place, double flow, std::span<double> y);
    double watch_reservoir(std::span<const double> y, const Snapshot& at, bool in);
    bool switch_valve(std::size_t index, const RodMotion& rod, std::span<double> y, int passed, int reached);
    bool switch_reservoir(const RodMotion& rod, std::span<double> y);
    void let_go(bool in, std::span<double> y);
    bool out_of_place(double t, const RodMotion& rod, std::span<const double> y);
    void fill_reservoir(double taken_in, Snapshot& at);
    const ValueSlope& leg(double travel);
    double force(const Snapshot& at, double end) const;
    void add_way(Block j, bool piston, double sign, std::size_t row, const Snapshot& at) const;
    void add_valve(Block j, std::size_t place, std::size_t row, const Partials& rate,
                   const Snapshot& at) const;
    double end_force(const Snapshot& at, double speed, double travel) const;

    const damper::Model& m_model;
    const std::array<std::optional<MovingValve>, 4>& m_valves; // by place
    damper::RodInto m_rod_into;
    flow::Mixture m_mixture;
    std::vector<std::size_t> m_moving;                  // places of valves that move
    std::array<std::size_t, 4> m_lift{};                // by place, the first unknown of a valve that moves
    std::array<std::optional<std::size_t>, 4> m_flow{}; // the flow of its ports, if that is an unknown
    std::size_t m_unknowns = chambers;
    bool m_has_base = false;
    bool m_is_leg = false;
    MovingReservoir m_reservoir;
    double m_friction = 0.0;      // of the reservoir's piston [Pa]
    double m_inertance = 0.0;     // of its mass, m/A_s² [kg/m⁴]
    std::size_t m_intake = 0;     // the unknown that is its flow, then V_S over A_r x
    double m_hint = 0.0;          // of the base [m³/(s Pa)]
    double m_least_loose = 0.0;   // that it has to pass before the piston comes loose [m³/s]
    double m_near_drop = 0.0;     // of the base, where to look first [Pa]
    double m_piston_impact = 0.0; // lost as it stops [J]
    double m_filled = 1.0;        // volume of what just fills a chamber, over that of its oil at 1 atm
    Modes m_modes;
    flow::Mixture::State m_near_C; // where to look first
    flow::Mixture::State m_near_R;
    double m_near_S = 0.0; // [m³]
    ValueSlope m_leg;      // p_S of the leg's air, and by the travel, at the last
    double m_leg_travel = std::numeric_limits<double>::quiet_NaN();
    std::array<PortDrop, 4> m_near_port{};
    std::vector<double> m_watched; // as last computed, at
    std::optional<double> m_watched_at;
    std::unique_ptr<Kept> m_kept;
    double m_impact = 0.0;
    std::array<double, 4> m_impacts{};
    std::array<long, 4> m_switches{};
};

} // namespace valve::motion::detail
