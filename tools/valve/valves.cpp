#include "valves.hpp"

#include <fmt/format.h>

namespace program {

using valve::report::Json;

namespace {

std::string valves_csv(const std::vector<Json>& valves, const std::string& rows) {
    if (valves.size() == 1) return valve::report::csv(valves.front().at(rows));
    Json columns; // of every valve: some tell of their ports what others do not
    columns["valve"] = nullptr;
    for (const Json& one : valves)
        for (const Json& row : one.at(rows))
            for (const auto& [key, value] : row.items())
                columns[key] = nullptr;
    Json all = Json::array();
    for (const Json& one : valves)
        for (const Json& row : one.at(rows)) {
            Json named = columns;
            named["valve"] = one.at("valve");
            named.update(row);
            all.push_back(named);
        }
    return valve::report::csv(all);
}

} // namespace

std::vector<valve::study::NamedValve> chosen_valves(const valve::setup::Reading& reading,
                                                    const std::string& wanted) {
    std::vector<valve::study::NamedValve> all = valve::study::valves_of(reading);
    if (wanted.empty()) return all;
    std::string names;
    for (const valve::study::NamedValve& entry : all) {
        if (entry.name == wanted) return {entry};
        names += (names.empty() ? "" : ", ") + entry.name;
    }
    throw UsageError(fmt::format("--valve: no valve '{}' in the file; it has {}", wanted, names));
}

ByValve::ByValve(const std::string& file, const valve::setup::Reading& reading, const CommonOptions& options)
    : m_file(file), m_reading(reading), m_options(options),
      m_text(fmt::format("{}\n{}\n", reading.title, file)) {}

std::string ByValve::written(const std::string& rows) const {
    if (m_options.json) return valve::report::written(valve::report::by_valve(m_file, m_reading, m_objects));
    return m_options.csv ? valves_csv(m_objects, rows) : m_text;
}

} // namespace program
