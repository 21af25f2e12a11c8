#include <valve/core/error.hpp>
#include <valve/core/text.hpp>

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <spdlog/details/null_mutex.h>
#include <spdlog/sinks/base_sink.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <exception>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

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

/// Messages on standard error, harmless to a terminal whatever names and titles they hold.
class HarmlessSink : public spdlog::sinks::base_sink<spdlog::details::null_mutex> {
protected:
    void sink_it_(const spdlog::details::log_msg& message) override {
        const std::string_view text(message.payload.data(), message.payload.size());
        const std::string line = valve::harmless(text) + "\n";
        std::fwrite(line.data(), 1, line.size(), stderr);
    }
    void flush_() override { std::fflush(stderr); }
};

void log_to_standard_error() {
    spdlog::set_default_logger(std::make_shared<spdlog::logger>("valve", std::make_shared<HarmlessSink>()));
}

/// "; did you mean '--speeds'?" for the first word of the command line that is no command, or no option of
/// the command that was given.
std::string slip(const CLI::App& app, const std::vector<std::string>& words) {
    const CLI::App* command = nullptr;
    std::vector<std::string> commands;
    for (const CLI::App* one : app.get_subcommands([](const CLI::App*) { return true; }))
        commands.push_back(one->get_name());
    for (const std::string& word : words) {
        if (word.rfind("--", 0) == 0) {
            const std::string name = word.substr(0, word.find('='));
            std::vector<std::string> options;
            for (const CLI::Option* option : (command != nullptr ? command : &app)->get_options())
                for (const std::string& known : option->get_lnames())
                    options.push_back("--" + known);
            if (std::find(options.begin(), options.end(), name) == options.end())
                if (std::string hint = valve::did_you_mean(name, options); !hint.empty()) return hint;
        } else if (command == nullptr) {
            if (std::find(commands.begin(), commands.end(), word) == commands.end())
                return valve::did_you_mean(word, commands);
            command = app.get_subcommand(word);
        }
    }
    return {};
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
    add_cycle(app, outcome);
    add_support(app, outcome);
    add_report(app, outcome);
    add_keys(app, outcome);
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
        spdlog::error("wrong usage: {}{}; see valve --help", error.what(),
                      slip(app, {argv + 1, argv + argc}));
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
        if (write(valve::harmless(outcome.text))) return status;
        spdlog::error("standard output cannot be written");
        return cannot_write;
    } catch (const std::exception& error) {
        spdlog::critical("a fault of the program itself, please report it: {}", error.what());
        return cannot_write;
    }
}
