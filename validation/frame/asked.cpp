#include <frame/asked.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace valve::validation {

bool Asked::wants(const std::string& part) const {
    return parts.empty() || std::find(parts.begin(), parts.end(), part) != parts.end();
}

std::optional<Asked> asked(int argc, char** argv, const std::string& purpose,
                           const std::vector<std::string>& parts) {
    const std::string known = fmt::format("{}", fmt::join(parts, ", "));
    Asked result;
    for (const std::string& word : std::vector<std::string>(argv + 1, argv + argc)) {
        if (word == "--help" || word == "-h") {
            fmt::print("{}\n{} [--json] [PART...]\n  --json  one JSON object instead of a table\n"
                       "  PART    only these: {}\n",
                       purpose, argv[0], known);
            return std::nullopt;
        }
        if (word == "--json") {
            result.as_json = true;
        } else if (std::find(parts.begin(), parts.end(), word) != parts.end()) {
            result.parts.push_back(word);
        } else {
            throw std::invalid_argument(fmt::format("'{}' is neither --json nor one of {}", word, known));
        }
    }
    return result;
}

} // namespace valve::validation
