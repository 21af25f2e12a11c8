#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace layers {

/// One line of the library that breaks a rule.
struct Breach {
    std::string place; ///< "module/file.cpp:12"
    std::string rule;  ///< which rule, and what was read
};

/// The rules on one file of `module`: who may include whom, which outside libraries belong where, and what
/// the library never does.
std::vector<Breach> breaches_in(std::string_view module, std::string_view file, std::string_view text);

/// The rules on everything below `root`, the folder that holds one folder a module.
std::vector<Breach> breaches_below(const std::filesystem::path& root);

} // namespace layers
