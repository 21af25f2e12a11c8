#include <valve/core/error.hpp>

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <exception>

#include "command.hpp"
#include "whole_file.hpp"

namespace {

using namespace program;

constexpr const char* purpose =
    "Computes what shim stacks do in a damper: lift, flow, pressures, voids and force.\n"
    "Needs a set-up file that says what was measured on the bench.";

constexpr const char* cautions =
    "`valve COMMAND --help` shows an example.\n\n"
    "Dampers hold gas under pressure and springs that store energy. Follow the maker's manual, leave gas\n"
    "charging to licensed practice, and check every change with a careful test ride: what is computed here\n"
    "is a prediction, not an approval.\n\n"
    "Exit status: 0 done, 1 output could not be written, 2 wrong usage, 3 bad input file, 4 no solution "
    "found.";

void log_to_standard_error() {
    auto logger = spdlog::stderr_logger_st("valve");
    logger->set_pattern("%v"); // the library's messages name their own severity
    spdlog::set_default_logger(logger);
}

ExitStatus run(int argc, char** argv, Outcome& outcome) {
    CLI::App app(purpose, "valve");
    app.formatter(help_layout());
    app.require_subcommand(1);
    app.set_version_flag("--version", std::string("valve ") + VALVE_VERSION);
    app.footer(cautions);
    add_inspect(app, outcome);
    add_lift(app, outcome);
    add_modes(app, outcome);
    add_curve(app, outcome);
    add_compare(app, outcome);
    add_support(app, outcome);
    add_report(app, outcome);
    try {
        app.parse(argc, argv);
        return outcome.status;
    } catch (const CLI::CallForHelp&) {
        outcome.text = app.help(); // of the command, where one is given
        return done;
    } catch (const CLI::CallForVersion& version) {
        outcome.text = std::string(version.what()) + "\n";
        return done;
    } catch (const CLI::ParseError& error) {
        spdlog::error("wrong usage: {}; see valve --help", error.what());
        return wrong_usage;
    } catch (const UsageError& error) {
        spdlog::error("wrong usage: {}", error.what());
        return wrong_usage;
    } catch (const CannotWrite& error) {
        spdlog::error("{}", error.what());
        return cannot_write;
    } catch (const valve::InputError& error) {
        spdlog::error("{}", error.what());
        return bad_input;
    } catch (const valve::Error& error) {
        spdlog::error("{}", error.what());
        return no_solution;
    }
}

/// False where standard output takes no more for another reason than that its reader has gone.
bool write(const std::string& text) {
    const bool complete = std::fwrite(text.data(), 1, text.size(), stdout) == text.size();
    return (complete && std::fflush(stdout) == 0) || errno == EPIPE;
}

} // namespace

int main(int argc, char** argv) {
#ifdef SIGPIPE
    std::signal(SIGPIPE, SIG_IGN); // a reader that has seen enough is no fault
#endif
    log_to_standard_error();
    try {
        Outcome outcome;
        const ExitStatus status = run(argc, argv, outcome);
        if (write(outcome.text)) return status;
        spdlog::error("standard output cannot be written");
        return cannot_write;
    } catch (const std::exception& error) {
        spdlog::critical("a fault of the program itself, please report it: {}", error.what());
        return cannot_write;
    }
}
