#pragma once

#include <optional>
#include <string>
#include <vector>

namespace valve::validation {

/// What the command line of a program of checks asks for.
struct Asked {
    std::vector<std::string> parts; ///< none means all
    bool as_json = false;

    bool wants(const std::string& part) const;
};

/// Reads "[--json] [PART...]", each part one of `parts`. Prints the usage and gives nothing where help is
/// asked for. Throws std::invalid_argument for what is neither.
std::optional<Asked> asked(int argc, char** argv, const std::string& purpose,
                           const std::vector<std::string>& parts);

} // namespace valve::validation
