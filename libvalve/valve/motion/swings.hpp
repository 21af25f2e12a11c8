#pragma once

#include <cmath>

namespace valve::motion {

/// Of a valve's largest lift, from which a swing counts: our choice, no source.
inline constexpr double swing_share = 0.1;

/// Counts how often a lift comes to a maximum and goes back from it by more than `least` [m].
class SwingCount {
public:
    explicit SwingCount(double least) : m_least(least) {}

    /// The next lift, or the next where it turns [m].
    void add(double lift) {
        if (m_rises ? lift >= m_turn : lift <= m_turn) {
            m_turn = lift;
        } else if (std::abs(lift - m_turn) > m_least) {
            if (m_rises) ++m_count;
            m_rises = !m_rises;
            m_turn = lift;
        }
    }

    int count() const { return m_count; }

private:
    double m_least;
    double m_turn = 0.0;
    bool m_rises = true;
    int m_count = 0;
};

} // namespace valve::motion
