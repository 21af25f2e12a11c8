#include <valve/report/assumptions.hpp>
#include <valve/report/section.hpp>

#include <algorithm>
#include <cmath>

namespace valve::report {

namespace {

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

Json state_json(const study::Section::State& state, const stack::Stack& stack) {
    Json object;
    object["pressure_Pa"] = state.shape.state.pressure;
    object["what"] = state.event                        ? stack::name(*state.event)
                     : state.shape.state.pressure > 0.0 ? ""
                                                        : "at rest";
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

Json json(const study::Section& section) {
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
    for (const study::Section::State& state : section.states)
        object["states"].push_back(state_json(state, stack));
    object["error"] = section.error;
    return object;
}

} // namespace valve::report
