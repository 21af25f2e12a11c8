#include <frame/references.hpp>

#include <fmt/format.h>

#include <fstream>
#include <regex>
#include <sstream>
#include <stdexcept>

namespace valve::validation {

References::References(std::string_view bibtex) {
    static const std::regex entry{R"(^@\w+\{([^,\s]+),)"};
    std::istringstream lines{std::string{bibtex}};
    std::string line;
    while (std::getline(lines, line)) {
        std::smatch match;
        if (std::regex_search(line, match, entry) && !m_keys.insert(match[1]).second)
            throw std::invalid_argument(
                fmt::format("key {} stands twice among the references", match[1].str()));
    }
}

References References::load(const std::string& path) {
    std::ifstream file(path);
    if (!file) throw std::runtime_error(fmt::format("cannot read {}", path));
    std::ostringstream text;
    text << file.rdbuf();
    return References(text.str());
}

} // namespace valve::validation
