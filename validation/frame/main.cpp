// build/validate [--json] [MODULE...]: runs the checks, prints them, exits 1 when one fails.
#include <frame/asked.hpp>
#include <frame/modules.hpp>
#include <frame/table.hpp>

#include <fmt/core.h>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <optional>
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

int validate(const Asked& what) {
    const References references = References::load(VALVE_REFERENCES);
    std::vector<Recorder> recorders;
    bool good = !modules().empty();
    for (const Module& module : modules()) {
        if (!what.wants(module.name)) continue;
        Recorder recorder{module.name, references};
        good = record(module, recorder) && all_passed(recorder) && good;
        recorders.push_back(std::move(recorder));
    }
    fmt::print("{}", what.as_json ? json(recorders).dump(2) + "\n" : table(recorders));
    return good ? 0 : 1;
}

int run(int argc, char** argv) {
    std::vector<std::string> names;
    for (const Module& module : modules())
        names.push_back(module.name);
    const std::optional<Asked> what =
        asked(argc, argv,
              "Compares what the library computes with published and independently computed numbers.", names);
    return what ? validate(*what) : 0;
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
