#include <valve/stack/lift_law.hpp>
#include <valve/study/lift.hpp>

#include <algorithm>
#include <array>
#include <utility>

namespace valve::study {

namespace {

/// The state at one pressure, or why there is none.
LiftRow row_at(const stack::Stack& stack, double pressure, const stack::FollowOptions& options) {
    LiftRow row{pressure, std::nullopt, ""};
    try {
        row.state = stack::states_at(stack, std::array<double, 1>{pressure}, options).front();
    } catch (const SolveError& error) {
        row.error = error.what();
    }
    return row;
}

std::vector<LiftRow> rows_at(const stack::Stack& stack, const std::vector<double>& pressures,
                             const stack::FollowOptions& options) {
    std::vector<LiftRow> rows;
    try {
        for (const stack::LiftPoint& state : stack::states_at(stack, pressures, options))
            rows.push_back({state.pressure, state, ""});
        return rows;
    } catch (const SolveError&) {
        // One of them has no state: find out which.
        rows.clear();
        for (const double pressure : pressures)
            rows.push_back(row_at(stack, pressure, options));
        return rows;
    }
}

/// What linear plates would say at the rows, up to the end of either curve.
void add_linear(LiftResult& result) {
    const stack::LiftCurve linear =
        stack::follow(result.valve.stack, {.theory = stack::Theory::linear,
                                           .max_pressure = result.curve->points.back().pressure});
    const stack::LiftLaw law(linear);
    result.linear_error = stack::linear_error(*result.curve, linear);
    for (LiftRow& row : result.rows)
        if (row.state && row.pressure <= law.max_pressure()) row.linear_seat_lift = law.at(row.pressure).lift;
}

/// A rigid disc lifts evenly.
void add_even_ring(LiftResult& result) {
    result.ring = stack::RingCurve{result.curve->crack_pressure, std::nullopt, std::nullopt};
    for (LiftRow& row : result.rows) {
        if (!row.state) continue;
        const double lift = row.state->seat_lift;
        row.ring = stack::RingLift{
            .pressure = row.pressure, .mean = lift, .mid_port = lift, .mid_land = lift, .open_arcs = lift};
    }
}

/// What windows make of the rows, and where the round shape buckles.
void add_ring(LiftResult& result, damper::LiftCache& lifts) {
    const stack::Stack& stack = result.valve.stack;
    if (stack.disc) {
        if (stack.windows > 0) add_even_ring(result);
        return;
    }
    result.waves = lifts.waves(stack);
    if (stack.windows == 0) return;
    stack::Path path(stack, result.theory, plate::Grading{});
    result.ring = stack::follow_ring(path, *result.curve);
    const std::optional<double> end = result.ring->holds_until;
    for (LiftRow& row : result.rows)
        if (row.state && (!end || row.pressure <= *end)) row.ring = stack::ring_lift_at(path, row.pressure);
}

} // namespace

bool LiftResult::failed() const {
    return !curve || std::any_of(rows.begin(), rows.end(), [](const LiftRow& row) { return !row.state; });
}

LiftResult lift_result(std::string name, const flow::Valve& valve, const std::vector<double>& pressures,
                       damper::LiftCache& lifts) {
    const stack::FollowOptions& options = lifts.options();
    LiftResult result{std::move(name), valve, options.theory, std::nullopt, "", {}};
    try {
        result.curve = lifts.curve(valve.stack);
    } catch (const SolveError& error) {
        result.error = error.what();
    }
    if (!pressures.empty()) {
        result.rows = rows_at(valve.stack, pressures, options);
    } else if (result.curve) {
        for (const stack::LiftPoint& point : result.curve->points)
            result.rows.push_back({point.pressure, point, ""});
    }
    if (result.curve && options.theory == stack::Theory::large_deflection && !valve.stack.disc)
        add_linear(result);
    if (result.curve) add_ring(result, lifts);
    return result;
}

} // namespace valve::study
