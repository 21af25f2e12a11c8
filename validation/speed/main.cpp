// Measures how fast the library is beside named references:  build/validate-speed [--json] [SECTION...]
// Exits 1 where something could not be measured; a goal that is not reached is said, and no failure.

#include <frame/asked.hpp>
#include <speed/rows.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <cstdio>
#include <exception>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

using namespace valve::validation;
using namespace valve::validation::speed;

namespace {

std::string goal_of(const Row& row) {
    if (!row.goal) return "-";
    return fmt::format("{} {:g}", row.kind == Row::Goal::more_than ? ">" : "<=", *row.goal);
}

const char* verdict(const Row& row) {
    if (!row.goal) return "";
    return row.reached() ? "reached" : "NOT reached";
}

void print(const Section& section) {
    fmt::print("\n{}\n", section.title);
    for (const Row& row : section.rows)
        fmt::print("  {:<62} {:>8} {:>9.4g}  {}\n", row.what, goal_of(row), row.got, verdict(row));
    for (const std::string& note : section.notes)
        fmt::print("    {}\n", note);
    std::fflush(stdout); // the next section may take minutes
}

nlohmann::json json(const Section& section) {
    nlohmann::json rows = nlohmann::json::array();
    for (const Row& row : section.rows) {
        nlohmann::json entry{{"what", row.what}, {"got", row.got}};
        entry["goal"] = row.goal ? nlohmann::json(*row.goal) : nlohmann::json();
        entry["goal_is"] = row.kind == Row::Goal::more_than ? "more than" : "at most";
        entry["reached"] = row.goal ? nlohmann::json(row.reached()) : nlohmann::json();
        rows.push_back(std::move(entry));
    }
    return {{"title", section.title}, {"rows", std::move(rows)}, {"notes", section.notes}};
}

const std::map<std::string, Section (*)()> sections{
    {"growth", growth}, {"in-time", against_integrators}, {"lapack", against_lapack},
    {"ring", ring},     {"script", against_script},       {"solids", against_solids}};

/// False where a section could not be measured.
bool measure(const Asked& what) {
    if (!what.as_json)
        fmt::print(
            "Ratios of CPU times, ours and the reference's taken in turn within this run. Other work on "
            "the machine\nshares its caches and so may shift a ratio.\n");
    nlohmann::json all = nlohmann::json::array();
    bool good = true;
    for (const auto& [name, measured] : sections) {
        if (!what.wants(name)) continue;
        Section section{name};
        try {
            section = measured();
        } catch (const std::exception& error) {
            section.notes.push_back(fmt::format("Not measured: {}", error.what()));
            good = false;
        }
        if (what.as_json)
            all.push_back(json(section));
        else
            print(section);
    }
    if (what.as_json) fmt::print("{}\n", nlohmann::json{{"sections", all}}.dump(2));
    return good;
}

int run(int argc, char** argv) {
    std::vector<std::string> names;
    for (const auto& [name, measured] : sections)
        names.push_back(name);
    const std::optional<Asked> what = asked(
        argc, argv, "Measures the library beside CalculiX, LAPACK and a script on SciPy, in one run", names);
    return !what || measure(*what) ? 0 : 1;
}

} // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "validate-speed: %s\n", error.what());
        return 1;
    }
}
