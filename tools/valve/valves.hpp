#pragma once

#include <valve/report/json.hpp>
#include <valve/study/reading.hpp>

#include <string>
#include <utility>
#include <vector>

#include "command.hpp"

/// What the commands share that look at valves one by one.
namespace program {

/// The valves of a file, or the one asked for. Throws UsageError where there is none of that name.
std::vector<valve::study::NamedValve> chosen_valves(const valve::setup::Reading& reading,
                                                    const std::string& wanted);

/// What a command tells of one valve after the other, as its options want it: text, or an object a valve.
class ByValve {
public:
    /// All three must outlive it.
    ByValve(const std::string& file, const valve::setup::Reading& reading, const CommonOptions& options);

    bool is_text() const { return !m_options.json && !m_options.csv; }

    /// Of the next valve: where is_text() the one, else the other.
    void add_text(const std::string& text) { m_text += "\n" + text; }
    void add_object(valve::report::Json object) { m_objects.push_back(std::move(object)); }

    /// All of it. As CSV it is the rows that each valve has under `rows`; of several valves, each row begins
    /// with the valve's name.
    std::string written(const std::string& rows) const;

private:
    const std::string& m_file;
    const valve::setup::Reading& m_reading;
    const CommonOptions& m_options;
    std::string m_text;
    std::vector<valve::report::Json> m_objects;
};

} // namespace program
