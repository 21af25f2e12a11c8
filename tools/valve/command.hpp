#pragma once

#include <valve/core/error.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/check.hpp>
#include <valve/damper/model.hpp>
#include <valve/damper/onset.hpp>
#include <valve/setup/measured_run.hpp>
#include <valve/setup/read.hpp>
#include <valve/stack/check.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/study/figure.hpp>
#include <valve/study/run.hpp>

#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "options.hpp"
#include "usage.hpp"

/// The parts that the commands of the program share.
namespace program {

enum ExitStatus { done = 0, cannot_write = 1, wrong_usage = 2, bad_input = 3, no_solution = 4 };

/// What a command leaves for main().
struct Outcome {
    std::string text; ///< for standard output
    ExitStatus status = done;
};

/// Options that every command takes.
struct CommonOptions {
    std::vector<std::string> set;
    std::vector<std::string> clicks;
    bool json = false;
    bool csv = false;
    valve::stack::FollowOptions follow;
};

/// Where and up to which speed a damper is looked at.
struct PositionOptions {
    std::optional<double> travel; ///< [m]
    valve::damper::RodInto rod_into = valve::damper::RodInto::atmosphere;
    double top_speed = valve::damper::usual_top_speed; ///< [m/s]

    /// Throws UsageError for what no damper can have.
    void check() const;
    /// The same for what those of `files` have not.
    void check_on(const std::vector<std::string>& files, const CommonOptions& common) const;
    /// Throws UsageError where a cycle of the usual stroke about `travel` would leave that of one of `files`.
    void check_room(const std::vector<std::string>& files, const CommonOptions& common) const;
    /// The same where one of the figures asked for is of a cycle.
    void check_room(const std::vector<valve::study::FigureRequest>& figures,
                    const std::vector<std::string>& files, const CommonOptions& common) const;
};

/// A measured run to lay over a prediction.
struct MeasuredOptions {
    std::string file;
    std::string columns;

    /// None where none is asked for.
    std::optional<valve::study::RunFile> run() const;
};

/// Adds the options `--measured` and `--columns` to a command.
void add_measured(const Command& command, MeasuredOptions& options);

struct Assignment {
    std::string left;
    std::string right;
};

/// "NAME=VALUE", or UsageError that names the option and what is `expected` of it.
Assignment assignment(const std::string& option, const std::string& text,
                      const char* expected = "NAME=VALUE");

/// Adds FILE's overrides and the output options to `command`.
void add_common(const Command& command, CommonOptions& options, bool has_points);

/// `--theory`, for commands that solve stacks.
void add_theory(const Command& command, CommonOptions& options);

/// `--round`, for commands that can follow stacks that are not round.
void add_shape(const Command& command, CommonOptions& options);

/// `--travel`, `--rod-into` and, where voids are looked for, `--top-speed`, for commands that solve dampers.
void add_position(const Command& command, PositionOptions& options, bool looks_for_voids = true);

/// `--set` and `--clicks`, as they apply to the file `path`.
std::vector<valve::setup::Override> overrides_of(const std::string& path, const CommonOptions& options);

/// A file with the overrides of the command line, and over them what another option of it sets.
valve::setup::Document load(const std::string& path, const CommonOptions& options,
                            const std::vector<valve::setup::Override>& more = {});

/// The text of a variant of `file` that makes `changed` out of it, as it would stand at `output`.
std::string variant_file(const std::string& file, const std::string& output,
                         const valve::setup::Document& changed, const std::string& title);

/// Warnings of a reading, on standard error.
void say_warnings(const valve::setup::Reading& reading);

/// A document, understood, and its warnings said.
valve::setup::Reading read_and_warn(const valve::setup::Document& document);

// What options can ask for.
inline constexpr valve::Limits asked_speeds{-valve::damper::fastest_rod, valve::damper::fastest_rod, "m/s"};
inline constexpr valve::Limits asked_travels{0.0, 10000.0, "mm"};
inline constexpr valve::Limits asked_pressures{0.0, valve::stack::greatest_bar, "bar"};

/// Throws UsageError unless every number [SI] of option `name` is finite and within `limits`.
void require_within(const std::string& name, const std::vector<double>& values, const valve::Limits& limits);

/// Throws UsageError unless `value` lies above 0 and up to `most`, both in `unit`.
void require_positive(const std::string& name, double value, double most, const std::string& unit);

/// Throws UsageError unless every travel [m] of option `name` is one of the damper.
void require_travels(const std::string& name, const std::vector<double>& travels,
                     const valve::damper::SetUp& unit);

/// What `ask` gives. An InputError that it throws is the fault of option `name`: UsageError.
template <class Ask>
auto asked_by(const std::string& name, const Ask& ask) {
    try {
        return ask();
    } catch (const valve::InputError& error) {
        throw UsageError(name + ": " + error.what());
    }
}

/// An error in the columns asked for, as one of the option `--columns`.
UsageError of_columns(const valve::setup::ColumnsError& error);

/// Why, of a message "PLACE: error: KEY: why" and the lines that it shows.
std::string reason_of(const std::string& message);

// One command a file.
void add_inspect(CommandLine& app, Outcome& outcome);
void add_lift(CommandLine& app, Outcome& outcome);
void add_modes(CommandLine& app, Outcome& outcome);
void add_curve(CommandLine& app, Outcome& outcome);
void add_compare(CommandLine& app, Outcome& outcome);
void add_advise(CommandLine& app, Outcome& outcome);
void add_cycle(CommandLine& app, Outcome& outcome);
void add_support(CommandLine& app, Outcome& outcome);
void add_search(CommandLine& app, Outcome& outcome);
void add_ride(CommandLine& app, Outcome& outcome);
void add_report(CommandLine& app, Outcome& outcome);
void add_diagnose(CommandLine& app, Outcome& outcome);
void add_keys(CommandLine& app, Outcome& outcome);

} // namespace program
