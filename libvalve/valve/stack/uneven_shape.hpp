#pragma once

#include <valve/stack/shapes.hpp>
#include <valve/stack/solution.hpp>
#include <valve/stack/uneven.hpp>

#include <memory>
#include <optional>
#include <vector>

namespace valve::stack {

/// How a stack lies that is not round: half-sections at two angles, and the lift between them.
struct UnevenShape {
    UnevenLift lift;
    std::vector<ShimShape> first;  ///< at the middle of a port, without windows at the crest of a wave
    std::vector<ShimShape> last;   ///< half a pitch on: half-way between two ports, or in the trough
    std::vector<double> angle;     ///< from `first` to `last`, rising from 0 to π/waves [rad]
    std::vector<double> seat_lift; ///< at these angles [m]
};

/// The shapes behind Solution::uneven() of one stack. For drawings: it follows the stack anew, through the
/// same states, and keeps what it followed for the next pressure.
class UnevenShapes {
public:
    /// Of pressures up to `most` [Pa]. Throws as Solution::waves_up_to().
    UnevenShapes(const Solution& solution, double most);
    ~UnevenShapes();
    UnevenShapes(const UnevenShapes&) = delete;
    UnevenShapes& operator=(const UnevenShapes&) = delete;

    /// At `pressure` [Pa]; none where the stack is round, or nothing is known of it.
    std::optional<UnevenShape> at(double pressure);

    /// Whether the stack is not round at `pressure` [Pa], known or not.
    bool is_uneven(double pressure) const;

private:
    struct Path;
    std::unique_ptr<Path> m_path; // null: round up to the most
};

} // namespace valve::stack
