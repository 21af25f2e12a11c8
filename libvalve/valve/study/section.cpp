#include <valve/core/detail/parallel.hpp>
#include <valve/stack/solution.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/section.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <utility>

namespace valve::study {

namespace {

constexpr std::array<double, 7> round_pressures{0.5e5, 1e5, 2e5, 5e5, 10e5, 15e5, 20e5};

/// Pressures to draw and what happens there, rising.
std::vector<std::pair<double, std::optional<stack::EventKind>>> pressures_of(const stack::LiftCurve& curve) {
    std::vector<std::pair<double, std::optional<stack::EventKind>>> chosen{{0.0, std::nullopt}};
    constexpr double still_at_rest = 100.0; // [Pa]
    for (const stack::Event& event : curve.events)
        if (event.pressure > still_at_rest &&
            (event.kind == stack::EventKind::crack || event.kind == stack::EventKind::float_start ||
             event.kind == stack::EventKind::stop))
            chosen.emplace_back(event.pressure, event.kind);
    const double end = curve.points.back().pressure;
    for (const double pressure : round_pressures) {
        // Beside an event a round pressure would look the same.
        const bool is_near = std::any_of(chosen.begin(), chosen.end(), [&](const auto& other) {
            return std::abs(other.first - pressure) < 0.1 * pressure;
        });
        if (pressure <= end && !is_near) chosen.emplace_back(pressure, std::nullopt);
    }
    std::sort(chosen.begin(), chosen.end());
    return chosen;
}

} // namespace

Section section(std::string name, const flow::Valve& valve, damper::LiftCache& lifts) {
    Section result{std::move(name), valve, {}, ""};
    try {
        const std::shared_ptr<const stack::Solution> solution = lifts.solution(valve.stack);
        const std::vector<std::pair<double, std::optional<stack::EventKind>>> pressures =
            pressures_of(solution->curve());
        std::optional<stack::UnevenShapes> uneven;
        if (const double most = pressures.back().first; lifts.bends(valve, most))
            uneven.emplace(*solution, most);
        for (const auto& [pressure, event] : pressures) {
            Section::State state{event, solution->shape(pressure)};
            if (uneven && pressure > 0.0 && uneven->is_uneven(pressure)) {
                state.uneven = uneven->at(pressure);
                if (!state.uneven) break;
            }
            result.states.push_back(std::move(state));
        }
    } catch (const SolveError& error) {
        result.error = error.what();
    }
    return result;
}

std::vector<Section> sections(const setup::Reading& reading, damper::LiftCache& lifts) {
    const std::vector<NamedValve> valves = valves_of(reading);
    std::vector<Section> all(valves.size());
    for_each_index(valves.size(),
                   [&](std::size_t i) { all[i] = section(valves[i].name, *valves[i].valve, lifts); });
    return all;
}

} // namespace valve::study
