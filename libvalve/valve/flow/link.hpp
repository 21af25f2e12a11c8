#pragma once

#include <valve/flow/link_state.hpp>
#include <valve/flow/way.hpp>

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace valve::flow {

/// Direction of flow through a link: from its first chamber to its second, or back.
enum class Direction { forward, backward };

/// The direction that a flow or a pressure drop of this sign has; forward at zero.
constexpr Direction direction_of(double value) {
    return value < 0.0 ? Direction::backward : Direction::forward;
}

/// What lies between two chambers for flow in one direction.
struct LinkParts {
    std::string name;                             ///< for messages: "piston.compression"
    std::optional<ValveLaw> valve = std::nullopt; ///< that opens this way
    std::vector<Restriction> bleeds = {};         ///< that let oil pass this way
};

/// All that lies between two chambers: the stack that opens forward and the one that opens backward, bleeds,
/// and the leak of a ring, side by side at one pressure drop.
///
/// Total: every finite pressure drop has a state, and so has every flow. Beyond the end of a lift curve the
/// lift goes on along the last slope of the curve, so that flow and slope stay continuous and rise; such a
/// state is flagged. Flow and slope are continuous in Δp but for the jumps that the parts have: the slope
/// jumps at Δp = 0 where the ways differ (a bleed with a check), and at events of a lift curve.
class Link {
public:
    /// `leak` is a conductance, the same both ways [m³/(s Pa)]. Throws std::invalid_argument where it is
    /// negative.
    explicit Link(LinkParts forward, LinkParts backward = {}, double leak = 0.0);

    /// State at the pressure drop `dp` [Pa], finite (else std::invalid_argument). Of the states that a valve
    /// which can snap has at one pressure drop (see jet_ratio()), one. Throws SolveError where none is found.
    LinkState at_drop(double dp) const;

    /// State at `flow` [m³/s], finite (else std::invalid_argument); the only one. Where nothing lets it
    /// through: flow zero, pressure drop infinite, is_closed. Throws SolveError where none is found.
    LinkState at_flow(double flow) const;

    /// Flow [m³/s] through bleeds and leak alone at the pressure drop `dp` [Pa], as where the valves move by
    /// themselves, and its slope.
    ValueSlope bleed_flow(double dp) const;

    /// State at the end of the lift curve of the valve that opens in `direction`; without one, infinite
    /// pressure drop and flow (no flow when there is no way at all).
    LinkState end(Direction direction) const;

    /// Name of what lies in `direction`, for messages.
    const std::string& name(Direction direction) const;

private:
    const Way& way(Direction direction) const { return m_ways.at(static_cast<std::size_t>(direction)); }

    std::array<std::string, 2> m_names;
    std::array<Way, 2> m_ways; // by Direction
};

} // namespace valve::flow
