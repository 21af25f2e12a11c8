#include <valve/report/assumptions.hpp>
#include <valve/report/section.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace valve::report {

namespace {

constexpr std::array<double, 7> round_pressures{0.5e5, 1e5, 2e5, 5e5, 10e5, 15e5, 20e5};

/// Pressures to draw and what happens there, rising.
std::vector<std::pair<double, std::string>> pressures_of(const stack::LiftCurve& curve) {
    std::vector<std::pair<double, std::string>> chosen{{0.0, "at rest"}};
    constexpr double still_at_rest = 100.0; // [Pa]
    for (const stack::Event& event : curve.events)
        if (event.pressure > still_at_rest &&
            (event.kind == stack::EventKind::crack || event.kind == stack::EventKind::float_start ||
             event.kind == stack::EventKind::stop))
            chosen.emplace_back(event.pressure, stack::name(event.kind));
    const double end = curve.points.back().pressure;
    for (const double pressure : round_pressures) {
        // Beside an event a round pressure would look the same.
        const bool is_near = std::any_of(chosen.begin(), chosen.end(), [&](const auto& other) {
            return std::abs(other.first - pressure) < 0.1 * pressure;
        });
        if (pressure <= end && !is_near) chosen.emplace_back(pressure, "");
    }
    std::sort(chosen.begin(), chosen.end());
    return chosen;
}

double to_nanometre(double length) {
    return std::round(length * 1e9) / 1e9;
}

/// Every radius that the drawing needs: the edges, and about one in `most` between them.
Json shape_json(const stack::ShimShape& shape) {
    constexpr std::size_t most = 24;
    const std::size_t count = shape.radius.size();
    const std::size_t step = std::max<std::size_t>(1, (count + most - 1) / most);
    Json radius = Json::array();
    Json lift = Json::array();
    for (std::size_t i = 0; i < count; ++i) {
        if (i % step != 0 && i + 1 != count) continue;
        radius.push_back(to_nanometre(shape.radius[i]));
        lift.push_back(to_nanometre(shape.lift[i]));
    }
    return {{"radius_m", radius}, {"lift_m", lift}};
}

Json state_json(const Section::State& state, const stack::Stack& stack) {
    Json object;
    object["pressure_Pa"] = state.shape.state.pressure;
    object["what"] = state.what;
    object["seat_lift_m"] = to_nanometre(state.shape.state.seat_lift);
    object["float_lift_m"] =
        stack.floating ? Json(to_nanometre(state.shape.state.float_lift)) : Json(nullptr);
    object["shims"] = Json::array();
    for (int number = 1; number <= static_cast<int>(stack.shims.size()); ++number) {
        const auto shape = std::find_if(state.shape.shims.begin(), state.shape.shims.end(),
                                        [number](const stack::ShimShape& one) { return one.shim == number; });
        object["shims"].push_back(shape == state.shape.shims.end() ? Json(nullptr) : shape_json(*shape));
    }
    refuse_non_finite(object);
    return object;
}

} // namespace

Section section(std::string name, const flow::Valve& valve, damper::LiftCache& lifts) {
    Section result{std::move(name), valve, {}, ""};
    try {
        const auto chosen = pressures_of(lifts.curve(valve.stack));
        std::vector<double> pressures;
        for (const auto& [pressure, what] : chosen)
            pressures.push_back(pressure);
        std::vector<stack::StackShape> shapes = stack::shapes_at(valve.stack, pressures, lifts.options());
        for (std::size_t i = 0; i < shapes.size(); ++i)
            result.states.push_back({chosen[i].second, std::move(shapes[i])});
    } catch (const SolveError& error) {
        result.error = error.what();
    }
    return result;
}

Json json(const Section& section) {
    const stack::Stack& stack = section.valve.stack;
    const bool clamped = stack.edge == stack::InnerEdge::clamped;
    Json object;
    object["valve"] = section.name;
    object["inner_radius_m"] = clamped ? stack.clamp_radius : stack.bore_radius;
    object["clamp_radius_m"] = stack.clamp_radius;
    object["clamped"] = clamped;
    object["zone"] = {{"inner_radius_m", stack.zone.inner_radius},
                      {"outer_radius_m", stack.zone.outer_radius}};
    object["seat"] = {{"inner_radius_m", stack.seat.inner_radius},
                      {"outer_radius_m", stack.seat.outer_radius},
                      {"height_m", stack.seat.height}};
    object["ports"] = {{"count", section.valve.ports.count},
                       {"area_m2", section.valve.ports.area_each},
                       {"coverage", stack.coverage}};
    object["float"] = nullptr;
    if (stack.floating)
        object["float"] = {{"travel_m", stack.floating->travel},
                           {"spring_radius_m", stack.floating->spring_radius},
                           {"stop_radius_m", stack.floating->stop_radius},
                           {"rests_on", words(stack.floating->rests_on)}};
    object["disc"] = stack.disc ? Json{{"radius_m", stack.disc->outer_radius}} : Json(nullptr);
    object["shims"] = Json::array();
    int number = 0;
    for (const stack::Shim& shim : stack.shims)
        object["shims"].push_back({{"shim", ++number},
                                   {"outer_radius_m", shim.outer_radius},
                                   {"thickness_m", shim.thickness},
                                   {"spacer", is_spacer(stack, shim)}});
    object["states"] = Json::array();
    for (const Section::State& state : section.states)
        object["states"].push_back(state_json(state, stack));
    object["error"] = section.error;
    return object;
}

} // namespace valve::report
