#include <valve/stack/solution.hpp>
#include <valve/study/lift.hpp>

#include <algorithm>
#include <memory>
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

/// What windows make of the rows, and where the round shape buckles.
void add_ring(LiftResult& result, const stack::Solution& solution) {
    result.waves = solution.waves_up_to(result.curve->points.back().pressure);
    if (solution.stack().windows == 0) return;
    result.ring = solution.ring();
    for (LiftRow& row : result.rows)
        if (row.state) row.ring = solution.ring_lift(row.pressure);
}

} // namespace

bool LiftResult::failed() const {
    return !curve || std::any_of(rows.begin(), rows.end(), [](const LiftRow& row) { return !row.state; });
}

LiftResult lift_result(std::string name, const flow::Valve& valve, const std::vector<double>& pressures,
                       damper::LiftCache& lifts) {
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
    add_ring(result, *solution);
    return result;
}

} // namespace valve::study
