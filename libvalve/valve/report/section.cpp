#include <valve/report/assumptions.hpp>
#include <valve/report/needed_points.hpp>
#include <valve/report/section.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <vector>

namespace valve::report {

namespace {

double to_nanometre(double length) {
    return std::round(length * 1e9) / 1e9;
}

/// A drawing shows no difference below this share of the largest lift in it.
constexpr double visible = 1.0 / 2000.0;

double largest_lift(const study::Section& section) {
    double largest = 0.0;
    for (const study::Section::State& state : section.states)
        for (const stack::ShimShape& shape : state.shape.shims)
            for (const double lift : shape.lift)
                largest = std::max(largest, std::abs(lift));
    return largest;
}

/// What a drawing needs of the shims of a section: radii that serve all states, lifts to fewer digits.
class Shapes {
public:
    explicit Shapes(const study::Section& section) {
        const double error = visible * largest_lift(section);
        if (error > 0.0) m_unit = std::max(std::pow(10.0, std::floor(std::log10(0.4 * error))), 1e-9);
        std::map<int, std::vector<std::vector<double>>> lifts;
        std::map<int, const std::vector<double>*> radii; // the same in all states
        for (const study::Section::State& state : section.states)
            for (const stack::ShimShape& shape : state.shape.shims) {
                lifts[shape.shim].push_back(shape.lift);
                radii[shape.shim] = &shape.radius;
            }
        for (const auto& [number, curves] : lifts) // the rest of the error is for the digits
            m_kept[number] = needed_points(*radii.at(number), curves, 0.8 * error);
    }

    Json json(const stack::ShimShape& shape) const {
        const std::vector<bool>& kept = m_kept.at(shape.shim);
        Json radius = Json::array();
        Json lift = Json::array();
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (!kept[i]) continue;
            radius.push_back(to_nanometre(shape.radius[i]));
            lift.push_back(to_nanometre(std::round(shape.lift[i] / m_unit) * m_unit));
        }
        return {{"radius_m", radius}, {"lift_m", lift}};
    }

private:
    double m_unit = 1e-9;                    // that lifts are told in [m]
    std::map<int, std::vector<bool>> m_kept; // by shim
};

Json state_json(const study::Section::State& state, const stack::Stack& stack, const Shapes& shapes) {
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
        object["shims"].push_back(shape == state.shape.shims.end() ? Json(nullptr) : shapes.json(*shape));
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
    const Shapes shapes(section);
    for (const study::Section::State& state : section.states)
        object["states"].push_back(state_json(state, stack, shapes));
    object["error"] = section.error;
    return object;
}

} // namespace valve::report
