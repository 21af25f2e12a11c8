#include <valve/core/error.hpp>
#include <valve/flow/link.hpp>

#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::flow {

namespace {

/// `state` of a way, seen from the first chamber.
LinkState signed_as(Direction direction, LinkState state) {
    if (direction == Direction::backward)
        for (double* value : {&state.dp, &state.flow, &state.stack_flow, &state.bleed_flow, &state.leak_flow})
            *value = -*value;
    return state;
}

/// What `solve` returns; its SolveErrors with the name of the way.
template <class Solve>
LinkState named(const std::string& name, const Solve& solve) {
    try {
        return solve();
    } catch (const SolveError& error) {
        throw SolveError(name + ": " + error.what());
    }
}

} // namespace

Link::Link(LinkParts forward, LinkParts backward, double leak)
    : m_names{std::move(forward.name), std::move(backward.name)},
      m_ways{Way(std::move(forward.valve), std::move(forward.bleeds), leak),
             Way(std::move(backward.valve), std::move(backward.bleeds), leak)} {}

LinkState Link::at_drop(double dp) const {
    if (!std::isfinite(dp)) throw std::invalid_argument("Link: the pressure drop is not a number");
    const Direction direction = direction_of(dp);
    return signed_as(direction, named(name(direction), [&] { return way(direction).at_drop(std::abs(dp)); }));
}

LinkState Link::at_flow(double flow) const {
    if (!std::isfinite(flow)) throw std::invalid_argument("Link: the flow is not a number");
    const Direction direction = direction_of(flow);
    return signed_as(direction,
                     named(name(direction), [&] { return way(direction).at_flow(std::abs(flow)); }));
}

ValueSlope Link::bleed_flow(double dp) const {
    const Direction direction = direction_of(dp);
    const ValueSlope flow = way(direction).bleed_flow(std::abs(dp));
    return {direction == Direction::backward ? -flow.value : flow.value, flow.slope};
}

LinkState Link::end(Direction direction) const {
    return signed_as(direction, way(direction).end());
}

const std::string& Link::name(Direction direction) const {
    return m_names.at(static_cast<std::size_t>(direction));
}

} // namespace valve::flow
