#pragma once

#include <valve/study/figure.hpp>

#include <vector>

namespace valve::study {

/// Which way a figure gets better whatever is asked for: 1 up, -1 down, 0 neither. Voids, choked ports and
/// overstressed shims had better begin later, deficits, friction, harshness and time off the ground be less,
/// margins be more.
int better_way(Quantity quantity);

/// A figure that moved.
struct Move {
    Figure from;
    Figure to;
    double steps = 0.0;   ///< that a rider notices, with the sign of the move [-]
    bool is_gain = false; ///< the way it gets better
};

/// What a change does to figures that nobody asked for.
struct SideEffect {
    /// Noticeable steps of the moves that are no gain, each quantity and stroke counted once, by its largest,
    /// and steps_of_unsolved where figures are no longer solved [-].
    double steps = 0.0;
    std::vector<Move> moves;      ///< gains too, the most noticed first
    std::vector<Figure> unsolved; ///< that were solved before, with their errors
};

/// What figures that are no longer solved count for, all together, since mostly one curve's end takes them:
/// our choice [-].
inline constexpr double steps_of_unsolved = 5.0;

/// From figures to those of the same requests; they count as number() says.
/// Figures of `asked` do not count, nor those that were not solved before.
SideEffect side_effect(const std::vector<Figure>& from, const std::vector<Figure>& to,
                       const std::vector<FigureRequest>& asked, double top_speed);

} // namespace valve::study
