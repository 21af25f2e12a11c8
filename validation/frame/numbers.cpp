#include <frame/numbers.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <fstream>
#include <sstream>
#include <stdexcept>

namespace valve::validation {

Numbers::Numbers(std::string_view json) {
    try {
        const nlohmann::json groups = nlohmann::json::parse(json);
        for (const auto& [name, quantities] : groups.items())
            for (const auto& [quantity, value] : quantities.items())
                m_groups[name][quantity] = value.get<double>();
    } catch (const nlohmann::json::exception& error) {
        throw std::invalid_argument(fmt::format("computed references: {}", error.what()));
    }
}

double Numbers::at(std::string_view group, std::string_view quantity) const {
    const auto found = m_groups.find(group);
    if (found == m_groups.end())
        throw std::invalid_argument(fmt::format("no group \"{}\" among the computed references", group));
    const auto value = found->second.find(quantity);
    if (value == found->second.end())
        throw std::invalid_argument(
            fmt::format("no \"{}\" of \"{}\" among the computed references", quantity, group));
    return value->second;
}

const Numbers& numbers(const std::string& name) {
    static std::map<std::string, Numbers> read;
    const auto known = read.find(name);
    if (known != read.end()) return known->second;
    const std::string path = fmt::format("{}/{}.json", VALVE_COMPUTED_REFERENCES, name);
    std::ifstream file(path);
    if (!file) throw std::runtime_error(fmt::format("cannot read {}", path));
    std::ostringstream text;
    text << file.rdbuf();
    return read.emplace(name, Numbers(text.str())).first->second;
}

} // namespace valve::validation
