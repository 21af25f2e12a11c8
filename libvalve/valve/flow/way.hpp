#pragma once

#include <valve/flow/link_state.hpp>
#include <valve/flow/restriction.hpp>
#include <valve/flow/valve_law.hpp>

#include <optional>
#include <vector>

namespace valve::flow {

/// One direction of a link: stack, bleeds and leak side by side. All values of its states are magnitudes.
class Way {
public:
    /// Throws std::invalid_argument for a negative `leak` [m³/(s Pa)].
    Way(std::optional<ValveLaw> valve, std::vector<Restriction> bleeds, double leak);

    LinkState at_flow(double flow) const;   ///< at `flow` ≥ 0 [m³/s], as Link::at_flow()
    LinkState at_drop(double dp) const;     ///< at `dp` ≥ 0 [Pa], as Link::at_drop()
    LinkState end() const;                  ///< at the end of the lift law, as Link::end()
    ValueSlope bleed_flow(double dp) const; ///< through bleeds and leak alone, at `dp` ≥ 0 [Pa]

private:
    bool opens() const { return m_valve && m_valve->end_lift() > 0.0; }
    bool is_shut() const { return !opens() && m_bleeds.empty() && m_leak == 0.0; }
    double bleed_pressure(double flow) const;
    LinkState shut(double dp) const;
    LinkState open(const ValveLaw::State& valve) const;
    LinkState end_of_curve() const;

    std::optional<ValveLaw> m_valve;
    std::vector<Restriction> m_bleeds;
    double m_leak = 0.0; // [m³/(s Pa)]
    LinkState m_end;     // of the round shape's lift curve
};

} // namespace valve::flow
