#pragma once

#include <algorithm>
#include <array>
#include <optional>

namespace valve::motion::detail {

/// Where what is smooth between jumps turns, told at uneven times: at the vertex of the parabola through
/// three values of which the middle one is the largest or the least.
class Turns {
public:
    struct Vertex {
        double time = 0.0; ///< [s]
        double value = 0.0;
    };

    /// That vertex, about the moment told before this one. Two values at one time are a jump between them.
    std::optional<Vertex> add(double time, double value) {
        std::optional<Vertex> vertex;
        if (m_count > 0 && time <= m_time[1]) m_count = 0;
        if (m_count == 2) {
            const double before = m_time[1] - m_time[0];
            const double after = time - m_time[1];
            const double up = m_value[1] - m_value[0];
            const double on = value - m_value[1];
            if (up * on < 0.0) {
                const double rise = up / before;
                const double bend = (on / after - rise) / (before + after);
                const double slope = rise + bend * before; // at the middle one
                vertex = {m_time[1] - 0.5 * slope / bend, m_value[1] - 0.25 * slope * slope / bend};
            }
        }
        m_time = {m_time[1], time};
        m_value = {m_value[1], value};
        m_count = std::min(m_count + 1, 2);
        return vertex;
    }

private:
    int m_count = 0; // of values since the last jump, two at most
    std::array<double, 2> m_time{};
    std::array<double, 2> m_value{};
};

} // namespace valve::motion::detail
