#include <valve/report/lift.hpp>
#include <valve/stack/follow.hpp>
#include <valve/stack/lift_law.hpp>

#include <fmt/format.h>

#include <array>
#include <memory>

#include "command.hpp"
#include "valves.hpp"

namespace program {

namespace {

using valve::report::LiftResult;
using valve::report::LiftRow;

struct Options : CommonOptions {
    std::string file;
    std::string valve;
    std::vector<double> pressures; // [bar]
};

/// Rows of the readable table where no pressures are asked for [bar].
constexpr std::array<double, 12> table_pressures{0.1, 0.2, 0.5, 1.0,  1.5,  2.0,
                                                 3.0, 5.0, 7.5, 10.0, 15.0, 20.0};

/// The state at one pressure, or why there is none.
LiftRow row_at(const valve::stack::Stack& stack, double pressure, const valve::stack::FollowOptions& follow) {
    LiftRow row{pressure, std::nullopt, ""};
    try {
        row.state = valve::stack::states_at(stack, std::array<double, 1>{pressure}, follow).front();
    } catch (const valve::SolveError& error) {
        row.error = error.what();
    }
    return row;
}

std::vector<LiftRow> rows_at(const valve::stack::Stack& stack, const std::vector<double>& pressures,
                             const valve::stack::FollowOptions& follow) {
    std::vector<LiftRow> rows;
    try {
        for (const valve::stack::LiftPoint& state : valve::stack::states_at(stack, pressures, follow))
            rows.push_back({state.pressure, state, ""});
        return rows;
    } catch (const valve::SolveError&) {
        // One of them has no state: find out which.
        rows.clear();
        for (const double pressure : pressures)
            rows.push_back(row_at(stack, pressure, follow));
        return rows;
    }
}

/// What linear plates would say at the rows, up to the end of either curve.
void add_linear(LiftResult& result) {
    const valve::stack::FollowOptions follow{.theory = valve::stack::Theory::linear,
                                             .max_pressure = result.curve->points.back().pressure};
    const valve::stack::LiftCurve linear = valve::stack::follow(result.valve.stack, follow);
    const valve::stack::LiftLaw law(linear);
    result.linear_error = valve::stack::linear_error(*result.curve, linear);
    for (LiftRow& row : result.rows)
        if (row.state && row.pressure <= law.max_pressure()) row.linear_seat_lift = law.at(row.pressure).lift;
}

LiftResult solve(const std::string& name, const valve::flow::Valve& valve,
                 const std::vector<double>& pressures, const valve::stack::FollowOptions& follow) {
    LiftResult result{name, valve, follow.theory, std::nullopt, "", {}};
    try {
        result.curve = valve::stack::follow(valve.stack, follow);
    } catch (const valve::SolveError& error) {
        result.error = error.what();
    }
    if (!pressures.empty()) {
        result.rows = rows_at(valve.stack, pressures, follow);
    } else if (result.curve) {
        for (const valve::stack::LiftPoint& point : result.curve->points)
            result.rows.push_back({point.pressure, point, ""});
    }
    if (result.curve && follow.theory == valve::stack::Theory::large_deflection && !valve.stack.disc)
        add_linear(result);
    return result;
}

void run(const Options& options, Outcome& outcome) {
    require_finite("--pressures", options.pressures);
    std::vector<double> pressures;
    for (const double pressure : options.pressures) {
        if (pressure < 0.0)
            throw UsageError(
                fmt::format("--pressures: {} bar is below 0; a stack opens under pressure", pressure));
        pressures.push_back(pressure * 1e5);
    }
    const bool table = !options.json && !options.csv;
    if (pressures.empty() && table)
        for (const double pressure : table_pressures)
            pressures.push_back(pressure * 1e5);

    const valve::setup::Reading reading = read_and_warn(load(options.file, options));
    std::vector<valve::report::Json> objects;
    std::string text = fmt::format("{}\n{}\n", reading.title, options.file);
    for (const auto& [name, valve] : chosen_valves(reading, options.valve)) {
        const LiftResult result = solve(name, *valve, pressures, options.follow);
        if (result.failed()) outcome.status = no_solution;
        if (table)
            text += "\n" + valve::report::text(result);
        else
            objects.push_back(valve::report::json(result));
    }
    if (options.json)
        outcome.text = valves_json(reading, options.file, objects);
    else
        outcome.text = options.csv ? valves_csv(objects, "points") : text;
}

} // namespace

void add_lift(CLI::App& app, Outcome& outcome) {
    CLI::App* command = app.add_subcommand("lift", "One stack: lift, contact and stress against pressure");
    const auto options = std::make_shared<Options>();
    command->add_option("FILE", options->file, "Set-up file")->required()->option_text(" ");
    command->add_option("--valve", options->valve, "The valve, such as base.refill; default: all in turn")
        ->option_text("NAME");
    command
        ->add_option(
            "--pressures", options->pressures,
            "Pressures on the face shim [bar]: --pressures 0.5,1,2; default: the whole curve (a table "
            "shows round values)")
        ->delimiter(',')
        ->allow_extra_args(false)
        ->option_text("BAR,…");
    add_common(*command, *options, true);
    add_theory(*command, *options);
    set_footer(
        *command,
        "  valve lift stacks/rally-fork.yaml --valve base.refill --pressures 0.5,1,2\n"
        "Opening is told three ways: crack (the seat lets go), 0.02 mm of lift, and the pressure at\n"
        "which a floated plate leaves its hub. The last is what a bench check of a plate feels.",
        "The pressure is static, on the zone under the face shim. A peak stress is only as good as the\n"
        "strip's data: a shim that bends past its fatigue limit breaks, and pieces jam valves.");
    command->callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
