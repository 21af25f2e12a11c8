#pragma once

#include <valve/motion/detail/turns.hpp>
#include <valve/motion/ride.hpp>

#include <array>
#include <cstddef>
#include <span>
#include <vector>

namespace valve::motion::detail {

/// The moments of a ride at which what sums it up is largest or least: as its figures, at the ends of steps
/// or at the vertices of parabolas through three of them, the unknowns between three ends likewise.
class RideTips {
public:
    struct Tip {
        double time = 0.0;     ///< [s]
        std::size_t held = 0;  ///< number of what does not change between two events
        std::vector<double> y; ///< the unknowns
    };

    /// The next end of a step, or what comes after a jump at one. `y` as long every time.
    void add(const RideMoment& now, std::span<const double> y, std::size_t held);

    /// From here on the acceleration counts.
    void begin_counting();

    /// Rising in time, each once.
    std::vector<Tip> tips() const;

private:
    /// What is watched, the largest of each sought.
    void read(const RideMoment& now);

    struct Watched {
        bool any = false;
        double most = 0.0;
        Tip tip;
        Turns turns;
    };
    static void keep(Watched& watched, double value, const Tip& tip);
    Tip between(double time) const;

    std::vector<double> m_values;
    std::vector<Watched> m_watched; // by value
    std::array<Tip, 3> m_ends;      // the last of them is the newest
};

} // namespace valve::motion::detail
