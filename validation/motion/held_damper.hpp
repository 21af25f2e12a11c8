#pragma once

#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_damper.hpp>

#include <array>
#include <cstddef>
#include <span>
#include <utility>
#include <vector>

namespace valve::validation {

/// A damper in time whose rod is held.
class HeldDamper final : public motion::detail::Equations {
public:
    explicit HeldDamper(const damper::Model& model, motion::MovingValves valves = {})
        : m_valves(std::move(valves)), m_damper(model, m_valves, damper::RodInto::atmosphere),
          m_unused(2 * m_damper.unknowns()) {}

    std::size_t size() const override { return m_damper.unknowns(); }
    std::size_t roots() const override { return m_damper.roots(); }
    void rates(double, std::span<const double> y, std::span<double> rates) override {
        m_damper.rates(rod, y, rates, m_energy);
    }
    void jacobian(double, std::span<const double> y, motion::detail::Columns j) override {
        const std::span<double> along(m_unused);
        m_damper.jacobian(rod, y, motion::detail::Block(j, 0, along.first(size()), along.last(size())));
    }
    void watch(double t, std::span<const double> y, std::span<double> values) override {
        m_damper.watch(t, rod, y, values);
    }
    void directions(std::span<int> result) const override { m_damper.directions(result); }

    bool switch_modes(double t, std::span<double> y, std::span<const int> signs) {
        return m_damper.switch_modes(t, rod, y, signs);
    }
    std::vector<double> at_rest() { return m_damper.at_rest(rod.travel); }
    motion::detail::MovingDamper& damper() { return m_damper; }

    static constexpr motion::RodMotion rod{0.05, 0.0};

private:
    motion::MovingValves m_valves;
    motion::detail::MovingDamper m_damper;
    std::array<double, motion::detail::MovingDamper::energies> m_energy{};
    std::vector<double> m_unused; // derivatives by travel and speed
};

} // namespace valve::validation
