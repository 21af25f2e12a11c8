// build/validate [--json] [MODULE...]: runs the checks, prints them, exits 1 when one fails.
#include <frame/modules.hpp>
#include <frame/table.hpp>

#include <CLI/CLI.hpp>
#include <fmt/core.h>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <string>
#include <utility>
#include <vector>

namespace {

using namespace valve::validation;

/// Records the checks of `module`. False when they could not be recorded to the end, or there are none.
bool record(const Module& module, Recorder& recorder) {
    try {
        module.checks(recorder);
    } catch (const std::exception& error) {
        fmt::print(stderr, "{} stopped after {} checks: {}\n", module.name, recorder.checks().size(),
                   error.what());
        return false;
    }
    if (recorder.checks().empty()) fmt::print(stderr, "{} has no checks\n", module.name);
    return !recorder.checks().empty();
}

bool all_passed(const Recorder& recorder) {
    return std::all_of(recorder.checks().begin(), recorder.checks().end(),
                       [](const Check& check) { return check.passed(); });
}

int validate(const std::vector<std::string>& wanted, bool as_json) {
    const References references = References::load(VALVE_REFERENCES);
    std::vector<Recorder> recorders;
    bool good = !modules().empty();
    for (const Module& module : modules()) {
        if (!wanted.empty() && std::find(wanted.begin(), wanted.end(), module.name) == wanted.end()) continue;
        Recorder recorder{module.name, references};
        good = record(module, recorder) && all_passed(recorder) && good;
        recorders.push_back(std::move(recorder));
    }
    fmt::print("{}", as_json ? json(recorders).dump(2) + "\n" : table(recorders));
    return good ? 0 : 1;
}

int run(int argc, char** argv) {
    CLI::App app{"Compares what the library computes with published and independently computed numbers."};
    bool as_json = false;
    std::vector<std::string> names;
    std::vector<std::string> wanted;
    for (const Module& module : modules())
        names.push_back(module.name);
    app.add_flag("--json", as_json, "one JSON object instead of a table");
    app.add_option("modules", wanted, "only these modules")->check(CLI::IsMember(names));
    CLI11_PARSE(app, argc, argv);
    return validate(wanted, as_json);
}

} // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "validate: %s\n", error.what());
        return 1;
    }
}
