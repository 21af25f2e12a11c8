#pragma once

#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_damper.hpp>
#include <valve/motion/input.hpp>

#include <limits>
#include <span>
#include <vector>

namespace valve::motion::detail {

/// A damper whose rod moves as an input says: its unknowns, then its energies.
class Dynamics final : public Equations {
public:
    /// All arguments must outlive this.
    Dynamics(const damper::Model& model, const MovingValves& valves, const Input& input,
             damper::RodInto rod_into)
        : m_input(input), m_damper(model, valves, rod_into), m_scratch(2 * m_damper.unknowns()) {}

    // Equations
    std::size_t size() const override { return coupled() + MovingDamper::energies; }
    std::size_t coupled() const override { return m_damper.unknowns(); }
    std::size_t roots() const override { return m_damper.roots(); }
    void rates(double t, std::span<const double> y, std::span<double> rates) override {
        m_damper.rates(rod(t), unknowns(y), rates.first(coupled()), rates.subspan(coupled()));
    }
    void jacobian(double t, std::span<const double> y, Columns result) override {
        const std::span<double> scratch(m_scratch);
        m_damper.jacobian(rod(t), unknowns(y),
                          Block(result, 0, scratch.first(coupled()), scratch.subspan(coupled())));
    }
    void watch(double t, std::span<const double> y, std::span<double> values) override {
        m_damper.watch(t, rod(t), unknowns(y), values);
    }
    void directions(std::span<int> result) const override { m_damper.directions(result); }

    /// The state at the beginning: at rest, filled at the pressure of S, valves shut.
    std::vector<double> at_rest() {
        std::vector<double> y = m_damper.at_rest(rod(m_input.piece(m_piece).begin).travel);
        y.resize(size(), 0.0);
        return y;
    }

    /// Error that a step may make of each unknown.
    std::vector<double> tolerances(const CycleOptions& options) const {
        constexpr double lift = 1e-9;   // [m]: when valves shut is a question here
        constexpr double angular = 1e4; // [1/s]
        std::vector<double> tolerances = m_damper.tolerances(options.pressure_error, lift, angular);
        tolerances.resize(size(), options.energy_error * m_damper.work_of_atmosphere(m_input.stroke()));
        return tolerances;
    }

    /// What holds from here on.
    void set(std::size_t piece, const Modes& modes) {
        m_piece = piece;
        m_damper.set(modes);
    }
    const Modes& modes() const { return m_damper.modes(); }

    bool switch_modes(double t, std::span<double> y, std::span<const int> signs) {
        return m_damper.switch_modes(t, rod(t), y.first(coupled()), signs);
    }

    Moment moment(double t, std::span<const double> y) { return m_damper.moment(t, rod(t), unknowns(y)); }
    Energies energies_of(std::span<const double> y) const {
        return m_damper.energies_of(y.subspan(coupled()));
    }
    MovingDamper::Stored stored(double t, std::span<const double> y) {
        return m_damper.stored(rod(t), unknowns(y));
    }
    double reservoir_volume(double t, std::span<const double> y) {
        return m_damper.reservoir_volume(rod(t), unknowns(y));
    }
    double oil(std::span<const double> y, double t) const { return m_damper.oil(unknowns(y), rod(t).travel); }

    const MovingDamper& damper() const { return m_damper; }

private:
    /// The tries of a step, what is watched and what is told are at one time.
    const RodMotion& rod(double t) const {
        if (t != m_rod_time || m_piece != m_rod_piece) {
            m_rod = m_input.at(m_piece, t);
            m_rod_time = t;
            m_rod_piece = m_piece;
        }
        return m_rod;
    }
    std::span<const double> unknowns(std::span<const double> y) const { return y.first(coupled()); }

    const Input& m_input;
    MovingDamper m_damper;
    std::vector<double> m_scratch;
    std::size_t m_piece = 0;
    mutable RodMotion m_rod; // the last that was asked for, at
    mutable double m_rod_time = std::numeric_limits<double>::quiet_NaN();
    mutable std::size_t m_rod_piece = 0;
};

} // namespace valve::motion::detail
