#include <valve/stack/detail/load.hpp>

#include <algorithm>
#include <numbers>
#include <stdexcept>

namespace valve::stack {

double load_area(const Stack& stack) {
    const double metal = stack.disc ? 0.0 : (stack.floating ? stack.bore_radius : stack.clamp_radius);
    const double zone = std::max(stack.zone.inner_radius, metal);
    const double inner = stack.seat.inner_radius;
    const double outer = stack.seat.outer_radius;
    // ∫ 2π r p dr with p falling linearly from 1 at `inner` to 0 at `outer`, over π
    const double land = (outer - inner) * (2.0 * inner + outer) / 3.0;
    return stack.coverage * std::numbers::pi * (inner * inner - zone * zone + land);
}

double closing_rate(const Stack& stack) {
    if (!stack.floating) throw std::invalid_argument("closing_rate: the stack does not float");
    return std::max(stack.floating->spring_rate,
                    no_spring_pressure * load_area(stack) / stack.floating->travel);
}

} // namespace valve::stack
