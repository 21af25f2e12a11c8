#include <valve/core/error.hpp>
#include <valve/core/text.hpp>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <exception>
#include <optional>
#include <string>

#include "command.hpp"
#include "messages.hpp"
#include "progress_line.hpp"
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
    "Exit status: 0 done, 1 output could not be written, 2 wrong usage, 3 bad input file,\n"
    "4 no solution found, 130 ended by Ctrl+C.";

ExitStatus run(int argc, char** argv, Outcome& outcome) {
    CommandLine app("valve", std::string("valve ") + VALVE_VERSION, purpose, cautions);
    add_inspect(app, outcome);
    add_lift(app, outcome);
    add_modes(app, outcome);
    add_curve(app, outcome);
    add_compare(app, outcome);
    add_advise(app, outcome);
    add_diagnose(app, outcome);
    add_cycle(app, outcome);
    add_ride(app, outcome);
    add_support(app, outcome);
    add_search(app, outcome);
    add_report(app, outcome);
    add_keys(app, outcome);
    try {
        if (const std::optional<std::string> told = app.run(argc, argv)) {
            outcome.text = *told;
            return done;
        }
        return outcome.status;
    } catch (const UsageError& error) {
        log_error(std::string("wrong usage: ") + error.what());
        return wrong_usage;
    } catch (const CannotWrite& error) {
        log_error(error.what());
        return cannot_write;
    } catch (const valve::InputError& error) {
        const std::string message = error.what();
        const bool of_override = message.starts_with("--"); // an option is at fault, not a file
        log_error((of_override ? "wrong usage: " : "") + message);
        return of_override ? wrong_usage : bad_input;
    } catch (const valve::Error& error) {
        log_error(error.what());
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
    end_on_interrupt();
    try {
        Outcome outcome;
        const ExitStatus status = run(argc, argv, outcome);
        if (write(valve::harmless(outcome.text))) return status;
        log_error("standard output cannot be written");
        return cannot_write;
    } catch (const std::exception& error) {
        log_error(std::string("a fault of the program itself, please report it: ") + error.what());
        return cannot_write;
    }
}
