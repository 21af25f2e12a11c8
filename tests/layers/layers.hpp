#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace layers {

using Names = std::set<std::string, std::less<>>;

/// What each module may use; what those may use comes with them.
const std::map<std::string, Names, std::less<>>& table();

/// The modules that stand in the map of the code, a table in Markdown, with what they may use. A row of a
/// module begins with `libvalve/valve/NAME` in back quotes; its second cell lists what it may use.
/// Throws std::runtime_error for a row without a second cell, and a module that stands there twice.
std::map<std::string, Names, std::less<>> modules_on_map(std::string_view markdown);

/// The text of a file. Throws std::runtime_error where it cannot be read.
std::string read(const std::filesystem::path& path);

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
