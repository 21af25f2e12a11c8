#include <valve/core/detail/parallel.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/flow/opening.hpp>

#include <utility>
#include <vector>

namespace valve::damper {
namespace {

/// Of the round shape, and how the stack bends; which may be taken for round.
struct Laws {
    stack::LiftLaw round;
    flow::ValveLaw::Bent bent;
};

/// Whether the stack has, or may come to, a shape that is not round.
bool may_bend(const stack::Solution& solution) {
    const stack::Stack& stack = solution.stack();
    if (stack::is_taken_for_round(stack, solution.options().theory)) return false;
    return stack.windows < 1 || solution.uneven_from(solution.curve().points.back().pressure);
}

flow::ValveLaw::Bent bent_law(const flow::Valve& valve,
                              const std::shared_ptr<const stack::Solution>& solution, stack::Shape shape) {
    if (shape == stack::Shape::round || !may_bend(*solution)) return nullptr;
    return std::make_shared<const stack::UnevenLaw>(solution, flow::opens_over_ports(valve));
}

Laws laws_of(const flow::Valve& valve, const std::shared_ptr<const stack::Solution>& solution,
             stack::Shape shape) {
    const bool over_ports = flow::opens_over_ports(valve);
    if (flow::ValveLaw::Bent bent = bent_law(valve, solution, shape))
        return {solution->law(), std::move(bent)};
    return {over_ports ? solution->law_over_ports().law : solution->law(), nullptr};
}

} // namespace

stack::LiftCurve LiftCache::curve(const stack::Stack& stack) {
    const std::shared_ptr<const stack::Solution> solved = solution(stack);
    solved->law(); // a curve without a law is none to build on
    return solved->curve();
}

LiftLaws LiftCache::laws(const SetUp& setup) {
    std::vector<std::pair<Place, std::shared_ptr<const stack::Solution>>> solutions;
    for (const Place place : all_places)
        if (const std::optional<flow::Valve>& valve = setup.valves[place])
            solutions.emplace_back(place, solution(valve->stack));
    for_each_index(solutions.size(), [&](std::size_t i) {
        const auto& [place, solution] = solutions[i];
        try {
            laws_of(*setup.valves[place], solution, m_options.shape);
        } catch (...) { // remembered, and thrown below
        }
    });
    LiftLaws laws{m_options.theory, {}};
    for (const auto& [place, solution] : solutions) {
        Laws found = laws_of(*setup.valves[place], solution, m_options.shape);
        const auto index = static_cast<std::size_t>(place);
        laws.at_place.at(index) = std::move(found.round);
        laws.bent.at(index) = std::move(found.bent);
    }
    return laws;
}

flow::ValveLaw::Bent LiftCache::bent(const flow::Valve& valve) {
    return bent_law(valve, solution(valve.stack), m_options.shape);
}

bool LiftCache::bends(const flow::Valve& valve, double pressure) {
    if (m_options.shape == stack::Shape::round) return false;
    const std::shared_ptr<const stack::Solution> solved = solution(valve.stack);
    return may_bend(*solved) && solved->uneven_from(pressure);
}

stack::StressLimits LiftCache::limits(const flow::Valve& valve, double pressure) {
    const std::shared_ptr<const stack::Solution> solved = solution(valve.stack);
    if (bends(valve, pressure)) return solved->limits(pressure);
    solved->law(); // a curve without a law is none to build on
    return {solved->curve().set, solved->curve().fatigue};
}

std::optional<double> LiftCache::windows_hold_until(const flow::Valve& valve) {
    if (!flow::opens_over_ports(valve) || bends(valve, m_options.max_pressure)) return std::nullopt;
    return solution(valve.stack)->law_over_ports().holds_until;
}

} // namespace valve::damper
