#pragma once

#include <valve/damper/linkage.hpp>
#include <valve/damper/support.hpp>
#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_damper.hpp>
#include <valve/motion/ground.hpp>
#include <valve/motion/ride.hpp>
#include <valve/motion/vehicle.hpp>

#include <array>
#include <limits>
#include <optional>
#include <span>
#include <vector>

namespace valve::motion::detail {

/// What the friction of bushings and seals does. Without friction it is free.
enum class Rub { free, stuck, in, out };

/// What does not change between two events of a ride.
struct RideModes {
    Rub rub = Rub::free;
    bool tyre = true;            ///< pushes
    std::array<bool, 2> metal{}; ///< pushes: at full extension, at full travel
    std::vector<Modes> dampers;  ///< of each unit
};

/// One wheel over the ground of an event. Unknowns: wheel travel w, ẇ, height z_u of the wheel, ż_u; then
/// those of the dampers. Then, nothing depending on them: energies of the dampers, what the rods bring to
/// them, and means.
///   m_s z̈_s = x' F − m_s g − T,  m_u z̈_u = F_t − x' F − m_u g,  z_s = z_u − w,
/// x(w) travel of the unit, x' its slope, F of all legs on the rods outwards, T load transfer.
/// Friction holds ẇ = 0 while the force that this needs is within breakaway.
class RideEquations final : public Equations {
public:
    /// Everything must outlive this.
    RideEquations(std::span<const RideUnit> units, const Vehicle& vehicle, const damper::Linkage& linkage,
                  const damper::Load& load, const Event& event, const Ground& ground);

    // Equations
    std::size_t size() const override { return m_first_quadrature + quadratures; }
    std::size_t coupled() const override { return m_coupled; }
    std::size_t roots() const override { return m_first_damper_root + m_damper_roots; }
    /// Not lengths: metal takes 20 N/µm wherever along the travel it is met.
    bool errs_by_size(std::size_t unknown) const override {
        return unknown < m_coupled && unknown >= vehicle_unknowns;
    }
    void rates(double t, std::span<const double> y, std::span<double> rates) override;
    void jacobian(double t, std::span<const double> y, Columns result) override;
    void watch(double t, std::span<const double> y, std::span<double> values) override;
    void directions(std::span<int> result) const override;

    /// At rest on level ground, friction and load transfer apart; a landing: fully extended, coming down.
    /// Throws InputError where the springs do not carry the load.
    std::vector<double> at_start();

    /// Error that a step may make of each unknown.
    std::vector<double> tolerances(const RideOptions& options) const;

    bool has_moving_valves() const;

    /// From here on the ground's piece with this number.
    void enter(std::size_t piece) {
        m_piece = piece;
        m_watched_at.reset(); // the ground goes on at another slope
        m_step.reset();
    }
    void set(const RideModes& modes);
    RideModes modes() const;
    const std::array<bool, 2>& metal() const { return m_modes.metal; } ///< pushes, as of RideModes

    /// As MovingDamper::switch_modes().
    bool switch_modes(double t, std::span<double> y, std::span<const int> signs);

    RideMoment moment(double t, std::span<const double> y) {
        RideMoment result;
        tell(t, y, result);
        return result;
    }
    void tell(double t, std::span<const double> y, RideMoment& result); ///< the same into one that is there

    /// Around each step, within which nothing switches: adds what it brought to the energies of the vehicle,
    /// which go by speeds alone. The integrator need not sum them closely then.
    void begin_step(double t, std::span<const double> y);
    void end_step(double t, std::span<const double> y);

    /// Kinetic, of height, and in springs, tyre and metal [J].
    double stored(double t, std::span<const double> y) const;

    /// Stored in the dampers, and lost on their seats and stops so far, by unit.
    struct DamperStore {
        std::vector<MovingDamper::Stored> stored;
        std::vector<double> impacts;
    };
    DamperStore stored_in_dampers(double t, std::span<const double> y);

    /// What does not close in the dampers between two times, all legs together [J].
    double left_open(const DamperStore& before, const DamperStore& now, const RideEnergies& energies) const;
    /// At the end of a ride that has begun with `before` in the dampers.
    RideEnergies energies(std::span<const double> y, const DamperStore& before, const DamperStore& now) const;
    RideLosses losses(const RideEnergies& energies) const;

    struct Means {
        double acceleration = 0.0; ///< ∫ z̈_s² dt [m²/s³]
        double load = 0.0;         ///< ∫ (F_t − F_0)² dt [N² s]
        double travel = 0.0;       ///< ∫ x dt [m s]
    };
    Means means(std::span<const double> y) const;

    double oil_fault(std::span<const double> y0, std::span<const double> y) const; ///< share of it [-]
    double full_travel() const { return m_full_travel; } ///< of the unit that has least [m]
    double static_load() const { return m_static_load; } ///< F_0 [N]
    /// Of friction, tyre, and both metals together.
    const std::array<long, 3>& vehicle_switches() const { return m_vehicle_switches; }

private:
    static constexpr std::size_t vehicle_unknowns = 4;
    static constexpr std::size_t wheel_travel = 0;
    static constexpr std::size_t wheel_height = 2;
    static constexpr std::size_t quadratures = 4;
    static constexpr std::size_t first_mean = 1;      // of them: acceleration², load², travel
    static constexpr std::size_t first_kink_root = 5; // after friction (2), tyre, metal (2)

    /// What the vehicle does at one moment.
    struct State {
        damper::Linkage::Value unit; // x(w)
        RodMotion rod;
        ValueSlope ground;       // z_e, ż_e
        double deflection = 0.0; // δ of the tyre [m]
        double deflection_rate = 0.0;
        double tyre = 0.0; // F_t [N]
        double tyre_if_touching = 0.0;
        std::array<double, 2> into{}; // e, into the metal [m]
        std::array<double, 2> into_rate{};
        double metal = 0.0; // outwards [N]
        double metal_by_travel = 0.0;
        double metal_by_speed = 0.0;
        damper::SpringPoint springs;
        double transfer = 0.0; // T [N]
        double dampers = 0.0;  // of all cartridges [N]
        double friction = 0.0; // outwards [N]
        double force = 0.0;    // of all, outwards [N]
        double needed = 0.0;   // of the friction, for ẇ to stay as it is [N]
        double sprung = 0.0;   // z̈_s [m/s²]
        double unsprung = 0.0;
    };

    /// One end of a step, values with their rates.
    struct StepEnd {
        double time = 0.0;
        double travel = 0.0;    // of the rod
        ValueSlope wheel_rate;  // ẇ
        ValueSlope wheel;       // z_u
        ValueSlope wheel_speed; // ż_u
        double ratio = 0.0;     // x'
    };
    StepEnd step_end(double t, std::span<const double> y);

    ValueSlope ground(double t) const;
    const State& vehicle_state(double t, std::span<const double> y) const; // holds until asked again
    void add_forces(State& at) const;
    State state(double t, std::span<const double> y);
    double transfer(double t) const;
    std::span<const double> unknowns(std::span<const double> y, std::size_t unit) const;
    std::span<double> unknowns(std::span<double> y, std::size_t unit) const;
    bool switch_vehicle(double t, std::span<double> y, std::span<const int> signs);
    bool vehicle_out_of_place(double t, std::span<const double> y);

    std::vector<RideUnit> m_units;
    const Vehicle& m_vehicle;
    const damper::Linkage& m_linkage;
    const Event& m_event;
    const Ground& m_ground;
    std::vector<MovingDamper> m_dampers;
    std::vector<std::size_t> m_first; // unknown of each damper
    std::vector<std::size_t> m_first_root;
    std::size_t m_coupled = vehicle_unknowns;
    std::size_t m_first_energy = 0;
    std::size_t m_first_quadrature = 0;
    std::size_t m_first_damper_root = 0;
    std::size_t m_damper_roots = 0;
    double m_sprung = 0.0;     // m_s [kg]
    double m_per_sprung = 0.0; // 1/m_s [1/kg]
    double m_per_unsprung = 0.0;
    double m_per_mass = 0.0;    // of both
    double m_static_load = 0.0; // [N]
    double m_full_travel = 0.0; // [m]
    double m_friction = 0.0;    // of bushings and seals, all legs [N]
    double m_breakaway = 0.0;
    std::array<double, 2> m_metal_damping{}; // [N s/m]
    std::vector<double> m_kinks;             // travels [m]
    RideModes m_modes;                       // without the dampers'
    std::size_t m_piece = 0;
    // The last that was worked out, and of what: the tries of a step are at one time, and its end is watched,
    // told and begun from.
    struct KeptGround {
        double time = std::numeric_limits<double>::quiet_NaN();
        std::size_t piece = 0;
        ValueSlope at;
    };
    struct KeptVehicle {
        double time = std::numeric_limits<double>::quiet_NaN();
        std::size_t piece = 0;
        bool tyre = false;
        std::array<bool, 2> metal{};
        std::array<double, vehicle_unknowns> y{};
        State at;
    };
    mutable KeptGround m_kept_ground;
    mutable KeptVehicle m_kept_vehicle;
    std::optional<StepEnd> m_step; // the last, if it has been told since something changed
    struct Sums {
        double ground = 0.0;
        double transfer = 0.0;
        double tyre = 0.0;
        double friction = 0.0;
        double metal = 0.0;
    } m_sums;                    // of the steps [J]
    double m_tyre_relaxed = 0.0; // lost as it let go, still bent [J]
    double m_metal_relaxed = 0.0;
    double m_start_height = 0.0; // of the sprung mass [m]
    std::array<long, 3> m_vehicle_switches{};
    std::vector<double> m_watched; // as last computed, at
    std::optional<double> m_watched_at;
    std::vector<double> m_by_travel;
    std::vector<double> m_by_speed;
};

} // namespace valve::motion::detail
