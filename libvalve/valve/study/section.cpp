#include <valve/core/detail/parallel.hpp>
#include <valve/stack/solution.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/section.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <memory>
#include <utility>

namespace valve::study {

namespace {

constexpr std::array<double, 4> told_speeds{0.1, 0.5, 1.0, 2.0}; // [m/s]

constexpr std::array<double, 7> round_pressures{0.5e5, 1e5, 2e5, 5e5, 10e5, 15e5, 20e5};

/// Valves that see the same to four digits have the same drawing.
double to_four_digits(double pressure) {
    if (pressure <= 0.0) return pressure;
    const double unit = std::pow(10.0, std::floor(std::log10(pressure)) - 3.0);
    return std::round(pressure / unit) * unit;
}

/// A pressure to draw, and what is there.
struct Drawn {
    double pressure = 0.0;
    std::optional<stack::EventKind> event = std::nullopt;
    std::optional<double> speed = std::nullopt;
};

/// Pressures to draw and what happens there, rising.
std::vector<Drawn> drawn(const stack::LiftCurve& curve, const std::vector<AtSpeed>& speeds) {
    std::vector<Drawn> chosen{{}};
    constexpr double still_at_rest = 100.0; // [Pa]
    const double end = curve.points.back().pressure;
    for (const AtSpeed& one : speeds)
        if (one.pressure > still_at_rest && one.pressure <= end)
            chosen.push_back({one.pressure, std::nullopt, one.speed});
    double most = 0.0;
    for (const Drawn& one : chosen)
        most = std::max(most, one.pressure);
    const bool by_speed = chosen.size() > 1;
    for (const stack::Event& event : curve.events)
        if (event.pressure > still_at_rest && (!by_speed || event.pressure <= most) &&
            (event.kind == stack::EventKind::crack || event.kind == stack::EventKind::float_start ||
             event.kind == stack::EventKind::stop))
            chosen.push_back({event.pressure, event.kind});
    for (const double pressure : round_pressures) {
        // Beside an event a round pressure would look the same.
        const bool is_near = std::any_of(chosen.begin(), chosen.end(), [&](const Drawn& other) {
            return std::abs(other.pressure - pressure) < 0.1 * pressure;
        });
        if (!by_speed && pressure <= end && !is_near) chosen.push_back({pressure});
    }
    std::sort(chosen.begin(), chosen.end(),
              [](const Drawn& a, const Drawn& b) { return a.pressure < b.pressure; });
    return chosen;
}

} // namespace

Section section(std::string name, const flow::Valve& valve, damper::LiftCache& lifts,
                const std::vector<AtSpeed>& speeds) {
    Section result{std::move(name), valve, {}, ""};
    try {
        const std::shared_ptr<const stack::Solution> solution = lifts.solution(valve.stack);
        const std::vector<Drawn> pressures = drawn(solution->curve(), speeds);
        std::optional<stack::UnevenShapes> uneven;
        if (const double most = pressures.back().pressure; lifts.bends(valve, most))
            uneven.emplace(*solution, most);
        for (const auto& [pressure, event, speed] : pressures) {
            Section::State state{event, speed, solution->shape(pressure)};
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

std::vector<AtSpeed> pressures_seen(const CurveResult& curve, std::string_view name) {
    const auto place = std::find_if(damper::all_places.begin(), damper::all_places.end(),
                                    [&](damper::Place one) { return damper::name(one) == name; });
    if (place == damper::all_places.end()) return {};
    const bool inwards = damper::stroke_of(*place) == damper::Stroke::compression;
    const std::vector<damper::SteadyPoint>& points = curve.curve.points;
    double fastest = 0.0;
    for (const damper::SteadyPoint& point : points)
        if (!point.error && (point.speed > 0.0) == inwards)
            fastest = std::max(fastest, std::abs(point.speed));
    std::vector<AtSpeed> seen;
    for (std::size_t i = 0; i < std::min(points.size(), curve.through.size()); ++i) {
        const double speed = points[i].speed;
        const bool is_told = std::abs(speed) == fastest ||
                             std::any_of(told_speeds.begin(), told_speeds.end(), [&](double told) {
                                 return std::abs(std::abs(speed) - told) < 1e-9;
                             });
        const std::optional<flow::Through>& through =
            damper::at_piston(*place) ? curve.through[i].piston : curve.through[i].base;
        if (is_told && !points[i].error && through && (speed > 0.0) == inwards)
            seen.push_back({speed, to_four_digits(through->curtain_loss)});
    }
    std::sort(seen.begin(), seen.end(),
              [](const AtSpeed& a, const AtSpeed& b) { return std::abs(a.speed) < std::abs(b.speed); });
    return seen;
}

std::vector<Section> sections(const setup::Reading& reading, damper::LiftCache& lifts,
                              const CurveResult* curve) {
    const std::vector<NamedValve> valves = valves_of(reading);
    std::vector<Section> all(valves.size());
    for_each_index(valves.size(), [&](std::size_t i) {
        const std::vector<AtSpeed> speeds =
            curve == nullptr ? std::vector<AtSpeed>{} : pressures_seen(*curve, valves[i].name);
        all[i] = section(valves[i].name, *valves[i].valve, lifts, speeds);
    });
    return all;
}

} // namespace valve::study
