#include <valve/core/bracket.hpp>
#include <valve/core/error.hpp>
#include <valve/stack/solution.hpp>
#include <valve/study/lift.hpp>

#include <algorithm>
#include <memory>
#include <string>
#include <utility>

namespace valve::study {

namespace {

std::vector<LiftRow> rows_at(const stack::Solution& solution, const std::vector<double>& pressures) {
    std::vector<LiftRow> rows;
    for (const double pressure : pressures) {
        rows.push_back({pressure, std::nullopt, ""});
        try {
            rows.back().state = solution.at(pressure);
        } catch (const SolveError& error) {
            rows.back().error = error.what();
        }
    }
    return rows;
}

/// What linear plates would say at the rows, up to the end of either curve.
void add_linear(LiftResult& result, const stack::Solution& solution) {
    const stack::LiftLaw& law = solution.linear().law();
    result.linear_error = solution.linear_error();
    for (LiftRow& row : result.rows)
        if (row.state && row.pressure <= law.max_pressure()) row.linear_seat_lift = law.at(row.pressure).lift;
}

/// What windows make of the rows of a round shape, and where it buckles.
void add_ring(LiftResult& result, const stack::Solution& solution) {
    result.waves = solution.waves_up_to(result.curve->points.back().pressure);
    if (solution.stack().windows == 0) return;
    result.ring = solution.ring();
    for (LiftRow& row : result.rows)
        if (row.state) row.ring = solution.ring_lift(row.pressure);
}

/// The state as the stack bends, and which.
struct Bent {
    stack::LiftPoint state;
    std::optional<stack::UnevenLift> uneven;
};

Bent bent_at(const stack::Solution& solution, double pressure) {
    const std::optional<stack::UnevenLift> uneven = solution.uneven(pressure);
    const stack::LiftPoint state = uneven ? uneven->state : solution.at(pressure);
    return {state, uneven};
}

/// Ends the curve where the shape that is not round ends.
void end_curve(stack::LiftCurve& curve, const stack::Solution& solution) {
    std::vector<stack::LiftPoint>& points = curve.points;
    std::string reason;
    const auto bends_at = [&](double pressure) {
        try {
            solution.uneven(pressure);
            return true;
        } catch (const SolveError& error) {
            reason = error.what();
            return false;
        }
    };
    const auto beyond =
        std::partition_point(points.begin(), points.end(),
                             [&](const stack::LiftPoint& point) { return bends_at(point.pressure); });
    if (beyond == points.begin() || beyond == points.end()) return;
    constexpr double located = 1e-3; // of a pressure
    const Bracket end = bisect(std::prev(beyond)->pressure, beyond->pressure, located,
                               [&](double pressure) { return std::optional(bends_at(pressure)); });
    bends_at(end.high); // so that the refusal is that of the end
    points.erase(beyond, points.end());
    if (end.low > points.back().pressure) points.push_back(solution.at(end.low));
    curve.end_reason = reason;
    std::erase_if(curve.events, [&](const stack::Event& event) { return event.pressure > end.low; });
}

/// The rows, which are those of the curve or stand where they were asked for, and what the curve says of the
/// strip's limits, as the stack bends.
void bend_round_the_ring(LiftResult& result, const stack::Solution& solution, bool along_curve) {
    const double round_end = result.curve->points.back().pressure;
    const std::optional<stack::Waves> waves = solution.waves_up_to(round_end);
    result.uneven_crack = solution.uneven_crack();
    if (!result.uneven_crack && !waves) return;
    end_curve(*result.curve, solution);
    if (along_curve) { // no further than it goes, and as far
        const stack::LiftPoint& last = result.curve->points.back();
        std::erase_if(result.rows, [&](const LiftRow& row) { return row.pressure > last.pressure; });
        if (result.rows.back().pressure < last.pressure) result.rows.push_back({last.pressure, last, ""});
    }
    for (LiftRow& row : result.rows) {
        if (!row.state) continue;
        const double round_lift = row.state->seat_lift;
        try {
            const Bent bent = bent_at(solution, row.pressure);
            if (!bent.uneven) continue;
            row.state = bent.state;
            row.uneven = bent.uneven;
        } catch (const SolveError& error) {
            row.state.reset();
            row.error = error.what();
        }
        row.round_lift = round_lift;
    }
    const double end = result.curve->points.back().pressure;
    const stack::StressLimits limits = solution.limits(end);
    const auto up_to_end = [end](const std::optional<stack::StressLimit>& limit) {
        return limit && limit->pressure <= end ? limit : std::nullopt;
    };
    result.curve->set = up_to_end(limits.set);
    result.curve->fatigue = up_to_end(limits.fatigue);
}

/// The last row that is told as the stack bends; null: none.
const LiftRow* last_uneven(const LiftResult& result) {
    const auto last = std::find_if(result.rows.rbegin(), result.rows.rend(),
                                   [](const LiftRow& row) { return row.uneven.has_value(); });
    return last == result.rows.rend() ? nullptr : &*last;
}

} // namespace

bool LiftResult::failed() const {
    return !curve || std::any_of(rows.begin(), rows.end(), [](const LiftRow& row) { return !row.state; });
}

void add_wave_branches(LiftResult& result, damper::LiftCache& lifts) {
    result.wave_branches.emplace();
    if (const LiftRow* last = last_uneven(result))
        result.wave_branches = stack::wave_branches(*lifts.solution(result.valve.stack), last->pressure);
}

void add_shape(LiftResult& result, damper::LiftCache& lifts) {
    if (const LiftRow* last = last_uneven(result))
        result.last_shape =
            stack::UnevenShapes(*lifts.solution(result.valve.stack), last->pressure).at(last->pressure);
}

LiftResult lift_result(std::string name, const flow::Valve& valve, const std::vector<double>& pressures,
                       damper::LiftCache& lifts) {
    const stack::Shape shape = lifts.options().shape;
    const stack::Theory theory = lifts.options().theory;
    LiftResult result{std::move(name), valve, theory, std::nullopt, "", {}};
    const std::shared_ptr<const stack::Solution> solution = lifts.solution(valve.stack);
    try {
        result.curve = lifts.curve(valve.stack);
    } catch (const SolveError& error) {
        result.error = error.what();
    }
    if (!pressures.empty()) {
        result.rows = rows_at(*solution, pressures);
    } else if (result.curve) {
        for (const stack::LiftPoint& point : result.curve->points)
            result.rows.push_back({point.pressure, point, ""});
    }
    if (!result.curve) return result;
    if (theory == stack::Theory::large_deflection && !valve.stack.disc) add_linear(result, *solution);
    result.shape = shape;
    add_ring(result, *solution);
    if (shape == stack::Shape::round) return result;
    bend_round_the_ring(result, *solution, pressures.empty());
    return result;
}

} // namespace valve::study
