#pragma once

#include <valve/stack/solution.hpp>

#include <memory>
#include <optional>
#include <vector>

namespace valve::stack {

/// The flow law of a kept solution as its stack bends round the ring, for whoever knows one mean of the lift.
/// Every value is solved when it is first asked for. Threads may ask at the same time.
class UnevenLaw {
public:
    /// Of the mean over the arcs of the ports, or round the ring. `solution` is not null.
    UnevenLaw(std::shared_ptr<const Solution> solution, bool over_ports);

    struct Value {
        LiftLaw::Value lift;
        bool beyond_end = false; ///< the law goes on along its last slope
    };

    /// As Solution::uneven_from(), uneven_law(), uneven_next() and uneven_end() [Pa].
    std::optional<double> from(double pressure) const { return m_solution->uneven_from(pressure); }
    Value at(double pressure) const;
    double next(double pressure) const { return m_solution->uneven_next(pressure); }
    double end() const { return m_solution->uneven_end(); }

    /// As Solution::uneven_motion(), of the mean that the law is of.
    std::vector<MotionPoint> motion(double pressure) const {
        return m_solution->uneven_motion(pressure, m_over_ports);
    }

    const Solution& solution() const { return *m_solution; }

    /// Whether it takes over from the round law as the valve opens, over windows.
    bool from_opening() const { return m_solution->stack().windows > 0; }

private:
    std::shared_ptr<const Solution> m_solution;
    bool m_over_ports = false;
};

} // namespace valve::stack
