#include <valve/stack/uneven_law.hpp>

#include <stdexcept>
#include <utility>

namespace valve::stack {

UnevenLaw::UnevenLaw(std::shared_ptr<const Solution> solution, bool over_ports)
    : m_solution(std::move(solution)), m_over_ports(over_ports) {
    if (!m_solution) throw std::invalid_argument("stack::UnevenLaw: no solution");
}

UnevenLaw::Value UnevenLaw::at(double pressure) const {
    const UnevenLawValue value = m_solution->uneven_law(pressure);
    return {m_over_ports ? value.open_arcs : value.ring, value.beyond_end};
}

} // namespace valve::stack
