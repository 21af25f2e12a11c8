#include <layers/layers.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <stdexcept>
#include <utility>

namespace layers {
namespace {

namespace fs = std::filesystem;

const std::map<std::string, Names, std::less<>> may_use{
    {"core", {}},          {"plate", {"core"}},    {"stack", {"plate"}},  {"flow", {"core", "stack"}},
    {"damper", {"flow"}},  {"motion", {"damper"}}, {"setup", {"motion"}}, {"study", {"setup"}},
    {"report", {"study"}},
};

/// Outside headers that only the named modules may include, by their first folder or whole name.
const std::map<std::string, Names, std::less<>> reserved{
    {"yaml-cpp", {"setup"}},
    {"Spectra", {"plate"}},
    {"Eigen", {"plate", "stack", "motion"}},
    {"nlohmann", {"report"}},
    {"spdlog", {}},
    {"CLI", {}},
    {"iostream", {}},
    {"cvode", {"motion"}},
    {"nvector", {"motion"}},
    {"sundials", {"motion"}},
    {"sunlinsol", {"motion"}},
    {"sunmatrix", {"motion"}},
};

/// Whether a header is installed: others' headers and our own details must not be needed to read it.
bool is_installed(std::string_view module, std::string_view file) {
    return file.ends_with(".hpp") && !file.starts_with("detail/") && module != "report";
}

std::string public_breach(const std::smatch& include) {
    const std::string path = include[2];
    const bool is_ours = path.starts_with("valve/");
    if (is_ours && path.find("/detail/") != std::string::npos)
        return fmt::format("an installed header may not need <{}>, which is not", path);
    if (!is_ours && path.find('/') != std::string::npos)
        return fmt::format("an installed header may not need <{}> of another library", path);
    return {};
}

/// Calls that end the process or write to a terminal.
const std::regex forbidden_call{
    R"(\b(exit|_Exit|quick_exit|abort|terminate|f?printf|f?puts|perror|fmt::print)\s*\()"};
const std::regex include_line{R"re(^\s*#\s*include\s*([<"])([^>"]+)[>"])re"};
const std::regex snake_case{R"([a-z][a-z0-9_]*\.(hpp|cpp))"};

Names reach(const std::string& module) {
    Names all{module};
    for (const std::string& used : may_use.at(module))
        all.merge(reach(used));
    return all;
}

/// The part of a path before its first slash.
std::string first_folder(const std::string& path) {
    return path.substr(0, path.find('/'));
}

std::string include_breach(const Names& allowed, const std::string& module, const std::smatch& include) {
    const std::string path = include[2];
    if (include[1] == "\"") return fmt::format("\"{}\" is not in angle brackets", path);
    const std::string top = first_folder(path);
    if (top == "valve") {
        const std::string other = first_folder(path.substr(std::string_view{"valve/"}.size()));
        if (!allowed.contains(other)) return fmt::format("{} may not use {} (<{}>)", module, other, path);
    }
    if (const auto rule = reserved.find(top); rule != reserved.end() && !rule->second.contains(module))
        return fmt::format("{} may not use <{}>", module, path);
    return {};
}

} // namespace

const std::map<std::string, Names, std::less<>>& table() {
    return may_use;
}

std::map<std::string, Names, std::less<>> modules_on_map(std::string_view markdown) {
    static const std::regex row{R"(^\| `libvalve/valve/([a-z]+)` \|([^|]*)\|?.*)"};
    static const std::regex word{"[a-z]+"};
    std::map<std::string, Names, std::less<>> modules;
    std::istringstream lines{std::string{markdown}};
    std::string line;
    while (std::getline(lines, line)) {
        std::smatch match;
        if (!std::regex_match(line, match, row)) continue;
        const std::string cell = match[2];
        Names used{std::sregex_token_iterator(cell.begin(), cell.end(), word), {}};
        if (!modules.emplace(match[1], std::move(used)).second)
            throw std::runtime_error(match[1].str() + " stands twice on the map");
    }
    return modules;
}

std::string read(const fs::path& path) {
    std::ifstream file(path);
    if (!file) throw std::runtime_error(fmt::format("cannot read {}", path.string()));
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

std::vector<Breach> breaches_in(std::string_view module, std::string_view file, std::string_view text) {
    const std::string name{module};
    if (!may_use.contains(name)) return {{name, "is not a module of the table"}};
    const Names allowed = reach(name);

    std::vector<Breach> found;
    std::istringstream lines{std::string{text}};
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        const std::string place = fmt::format("{}/{}:{}", module, file, number);
        const std::string code = line.substr(0, line.find("//"));
        std::smatch match;
        if (std::regex_search(line, match, include_line)) {
            std::string rule = include_breach(allowed, name, match);
            if (rule.empty() && is_installed(module, file)) rule = public_breach(match);
            if (!rule.empty()) found.push_back({place, std::move(rule)});
        } else if (std::regex_search(code, match, forbidden_call)) {
            found.push_back({place, fmt::format("the library may not call {}", match[1].str())});
        }
    }
    return found;
}

std::vector<Breach> breaches_below(const fs::path& root) {
    std::vector<Breach> found;
    for (const fs::directory_entry& entry : fs::recursive_directory_iterator(root)) {
        const fs::path path = fs::relative(entry.path(), root);
        const std::string file = path.filename().string();
        if (entry.is_directory() || file == "CMakeLists.txt") continue;
        if (!std::regex_match(file, snake_case))
            found.push_back({path.string(), "is not named in snake_case"});
        if (path.begin() == std::prev(path.end())) continue; // the header that gathers those of all modules
        const std::vector<Breach> more =
            breaches_in(path.begin()->string(), path.lexically_relative(*path.begin()).string(), read(entry));
        found.insert(found.end(), more.begin(), more.end());
    }
    std::sort(found.begin(), found.end(), [](const Breach& a, const Breach& b) { return a.place < b.place; });
    return found;
}

} // namespace layers
