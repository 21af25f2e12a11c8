#include <valve/report/assumptions.hpp>
#include <valve/report/needed_points.hpp>
#include <valve/report/section.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <utility>
#include <vector>

namespace valve::report {

namespace {

double to_nanometre(double length) {
    return std::round(length * 1e9) / 1e9;
}

/// A drawing shows no difference below this share of the largest lift in it.
constexpr double visible = 1.0 / 2000.0;

/// The half-sections of a state: one, or where the stack is not round two.
std::vector<const std::vector<stack::ShimShape>*> drawn(const study::Section::State& state) {
    if (state.uneven) return {&state.uneven->first, &state.uneven->last};
    return {&state.shape.shims};
}

double largest_lift(const study::Section& section) {
    double largest = 0.0;
    for (const study::Section::State& state : section.states)
        for (const std::vector<stack::ShimShape>* shims : drawn(state))
            for (const stack::ShimShape& shape : *shims)
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
        for (const bool round : {true, false}) {
            std::map<int, std::vector<std::vector<double>>> lifts;
            std::map<int, const std::vector<double>*> radii; // the same in all states of a kind
            for (const study::Section::State& state : section.states) {
                if (bool(state.uneven) == round) continue;
                for (const std::vector<stack::ShimShape>* shims : drawn(state))
                    for (const stack::ShimShape& shape : *shims) {
                        lifts[shape.shim].push_back(shape.lift);
                        radii[shape.shim] = &shape.radius;
                    }
            }
            for (const auto& [number, curves] : lifts) // the rest of the error is for the digits
                m_kept[{number, round}] = needed_points(*radii.at(number), curves, 0.8 * error);
        }
    }

    /// Of every shim of the stack, null for those that do not bend.
    Json json(const std::vector<stack::ShimShape>& shims, const stack::Stack& stack, bool round) const {
        Json all = Json::array();
        for (int number = 1; number <= static_cast<int>(stack.shims.size()); ++number) {
            const auto shape =
                std::find_if(shims.begin(), shims.end(),
                             [number](const stack::ShimShape& one) { return one.shim == number; });
            all.push_back(shape == shims.end() ? Json(nullptr) : json(*shape, round));
        }
        return all;
    }

    double rounded(double lift) const { return to_nanometre(std::round(lift / m_unit) * m_unit); }

private:
    Json json(const stack::ShimShape& shape, bool round) const {
        const std::vector<bool>& kept = m_kept.at({shape.shim, round});
        Json radius = Json::array();
        Json lift = Json::array();
        for (std::size_t i = 0; i < kept.size(); ++i) {
            if (!kept[i]) continue;
            radius.push_back(to_nanometre(shape.radius[i]));
            lift.push_back(rounded(shape.lift[i]));
        }
        return {{"radius_m", radius}, {"lift_m", lift}};
    }

    double m_unit = 1e-9;                                     // that lifts are told in [m]
    std::map<std::pair<int, bool>, std::vector<bool>> m_kept; // by shim, round or not
};

/// What a drawing of a stack that is not round needs beside its first half-section.
Json uneven_json(const stack::UnevenShape& uneven, const stack::Stack& stack, const Shapes& shapes) {
    Json object;
    object["over_ports"] = stack.windows > 0;
    object["waves"] = uneven.lift.waves;
    object["first_lift_m"] = to_nanometre(uneven.seat_lift.front());
    object["last_lift_m"] = to_nanometre(uneven.seat_lift.back());
    object["last_shims"] = shapes.json(uneven.last, stack, false);
    object["angle_rad"] = Json::array();
    object["ring_lift_m"] = Json::array();
    for (std::size_t i = 0; i < uneven.angle.size(); ++i) {
        object["angle_rad"].push_back(std::round(uneven.angle[i] * 1e5) / 1e5);
        object["ring_lift_m"].push_back(shapes.rounded(uneven.seat_lift[i]));
    }
    return object;
}

Json state_json(const study::Section::State& state, const stack::Stack& stack, const Shapes& shapes) {
    Json object;
    object["pressure_Pa"] = state.shape.state.pressure;
    object["speed_m_s"] = or_null(state.speed);
    object["what"] = state.event                        ? stack::name(*state.event)
                     : state.shape.state.pressure > 0.0 ? ""
                                                        : "at rest";
    const stack::LiftPoint& lift = state.uneven ? state.uneven->lift.state : state.shape.state;
    object["seat_lift_m"] = to_nanometre(lift.seat_lift);
    object["float_lift_m"] = stack.floating ? Json(to_nanometre(lift.float_lift)) : Json(nullptr);
    object["shims"] =
        shapes.json(state.uneven ? state.uneven->first : state.shape.shims, stack, !state.uneven);
    object["not_round"] = state.uneven ? uneven_json(*state.uneven, stack, shapes) : Json(nullptr);
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
