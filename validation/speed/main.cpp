// Measures how fast the library is beside a named reference:  build/validate-speed [--json]

#include <speed/rows.hpp>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <exception>
#include <map>

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
        fmt::print("  {:<62} {:>8} {:>9.4g} {:<4} {}\n", row.what, goal_of(row), row.got, row.unit,
                   verdict(row));
    for (const std::string& note : section.notes)
        fmt::print("    {}\n", note);
}

nlohmann::json to_json(const Section& section) {
    nlohmann::json rows = nlohmann::json::array();
    for (const Row& row : section.rows) {
        nlohmann::json entry{{"what", row.what}, {"got", row.got}, {"unit", row.unit}};
        entry["goal"] = row.goal ? nlohmann::json(*row.goal) : nlohmann::json();
        entry["goal_is"] = row.kind == Row::Goal::more_than ? "more than" : "at most";
        entry["reached"] = row.reached();
        rows.push_back(std::move(entry));
    }
    return {{"title", section.title}, {"rows", std::move(rows)}, {"notes", section.notes}};
}

} // namespace

int main(int argc, char** argv) {
    CLI::App app{"Measures the library beside CalculiX, LAPACK and a script on SciPy, in one run"};
    bool json = false;
    std::vector<std::string> chosen;
    const std::map<std::string, Section (*)()> sections{{"growth", growth},
                                                        {"lapack", against_lapack},
                                                        {"script", against_script},
                                                        {"solids", against_solids}};
    app.add_flag("--json", json, "One JSON object in place of the table");
    app.add_option("SECTION", chosen, "growth, lapack, script, solids; default: all")
        ->check(CLI::IsMember(sections));
    CLI11_PARSE(app, argc, argv);

    nlohmann::json all = nlohmann::json::array();
    int status = 0;
    if (!json)
        fmt::print("CPU times, each the median of repeats taken in turn with its reference's. Other work on "
                   "the machine\nshares its caches and so may shift a ratio.\n");
    for (const auto& [name, measure] : sections) {
        if (!chosen.empty() && std::find(chosen.begin(), chosen.end(), name) == chosen.end()) continue;
        Section section{name};
        try {
            section = measure();
        } catch (const std::exception& error) {
            section.notes.push_back(fmt::format("left out: {}", error.what()));
            status = 1;
        }
        if (json)
            all.push_back(to_json(section));
        else
            print(section);
    }
    if (json) fmt::print("{}\n", nlohmann::json{{"sections", all}}.dump(2));
    return status;
}
