#include <valve/core/detail/parallel.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/flow/opening.hpp>

#include <utility>
#include <vector>

namespace valve::damper {
namespace {

const stack::LiftLaw& law(const flow::Valve& valve, const stack::Solution& solution) {
    return flow::opens_over_ports(valve) ? solution.law_over_ports().law : solution.law();
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
            law(*setup.valves[place], *solution);
        } catch (...) { // remembered, and thrown below
        }
    });
    LiftLaws laws{m_options.theory, {}};
    for (const auto& [place, solution] : solutions)
        laws.at_place.at(static_cast<std::size_t>(place)) = law(*setup.valves[place], *solution);
    return laws;
}

Model LiftCache::model(const SetUp& setup) {
    return Model(setup, laws(setup));
}

std::optional<double> LiftCache::windows_hold_until(const flow::Valve& valve) {
    if (!flow::opens_over_ports(valve)) return std::nullopt;
    return solution(valve.stack)->law_over_ports().holds_until;
}

} // namespace valve::damper
