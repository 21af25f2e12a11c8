#include <layers/includes.hpp>
#include <layers/layers.hpp>

#include <fmt/format.h>

#include <cctype>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string_view>
#include <utility>

namespace layers {
namespace {

namespace fs = std::filesystem;

/// Headers and names of namespace std that come with them.
const std::vector<std::pair<std::string, std::string>> standard{
    {"algorithm",
     "sort stable_sort min_element max_element minmax_element clamp min max any_of all_of "
     "none_of find find_if count count_if copy transform upper_bound lower_bound binary_search "
     "unique reverse rotate equal fill replace remove_if partition for_each adjacent_find minmax "
     "is_sorted nth_element mismatch"},
    {"array", "array"},
    {"chrono", "chrono"},
    {"cmath",
     "sqrt abs pow sin cos tan tanh exp log log10 log1p expm1 hypot floor ceil round lround isfinite "
     "isnan fmod atan atan2 cbrt copysign nextafter trunc"},
    {"cstdint", "int8_t int16_t int32_t int64_t uint8_t uint16_t uint32_t uint64_t"},
    {"exception", "exception_ptr current_exception rethrow_exception"},
    {"filesystem", "filesystem"},
    {"fstream", "ifstream ofstream fstream"},
    {"functional", "function plus less greater reference_wrapper"},
    {"limits", "numeric_limits"},
    {"map", "map multimap"},
    {"memory", "unique_ptr make_unique shared_ptr make_shared weak_ptr"},
    {"mutex", "mutex lock_guard unique_lock scoped_lock once_flag call_once"},
    {"numbers", "numbers"},
    {"numeric", "accumulate iota inner_product partial_sum midpoint lerp"},
    {"optional", "optional nullopt"},
    {"set", "set multiset"},
    {"span", "span"},
    {"sstream", "istringstream ostringstream stringstream"},
    {"stdexcept", "invalid_argument logic_error runtime_error out_of_range domain_error"},
    {"string", "string to_string getline stod stoi"},
    {"string_view", "string_view"},
    {"utility", "move pair exchange swap forward make_pair declval as_const"},
    {"variant", "variant visit monostate holds_alternative get_if"},
    {"vector", "vector"},
};

/// Namespaces of other libraries, and the folder of their headers.
const std::map<std::string, std::string, std::less<>> libraries{
    {"fmt", "fmt/"}, {"Eigen", "Eigen/"},   {"Spectra", "Spectra/"}, {"nlohmann", "nlohmann/"},
    {"CLI", "CLI/"}, {"spdlog", "spdlog/"}, {"YAML", "yaml-cpp/"},
};

const std::map<std::string, std::string, std::less<>>& header_of_name() {
    static const auto headers = [] {
        std::map<std::string, std::string, std::less<>> result;
        for (const auto& [header, names] : standard) {
            std::istringstream each(names);
            for (std::string name; each >> name;)
                result.emplace(name, header);
        }
        return result;
    }();
    return headers;
}

std::string without_comments_and_literals(const std::string& text) {
    static const std::regex aside{R"re(//[^\n]*|"(\\.|[^"\\\n])*")re"};
    return std::regex_replace(text, aside, "");
}

/// Whether `code` has "class NAME;", which is enough to point at one.
bool declares(const std::string& code, const std::string& name) {
    return code.find("class " + name + ";") != std::string::npos;
}

std::vector<std::string> headers_in(const std::string& text) {
    static const std::regex include{R"re(#\s*include\s*[<"]([^>"]+)[>"])re"};
    return {std::sregex_token_iterator(text.begin(), text.end(), include, 1), {}};
}

bool in_a_name(char c) {
    return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_';
}

/// Names qualified by a namespace at the front, "std::move", as (namespace, name).
std::set<std::pair<std::string, std::string>> qualified_names(std::string_view code) {
    std::set<std::pair<std::string, std::string>> names;
    const auto word_at = [&](std::size_t begin) {
        std::size_t end = begin;
        while (end < code.size() && in_a_name(code[end]))
            ++end;
        return std::string(code.substr(begin, end - begin));
    };
    for (std::size_t i = 0; i < code.size();) {
        if (!in_a_name(code[i])) {
            ++i;
            continue;
        }
        const std::string space = word_at(i);
        const bool is_front = i < 2 || code.substr(i - 2, 2) != "::";
        i += space.size();
        if (is_front && code.substr(i, 2) == "::") names.emplace(space, word_at(i + 2));
    }
    return names;
}

void reach(const fs::path& file, const std::vector<fs::path>& folders, std::set<fs::path>& seen,
           std::vector<std::string>& headers) {
    for (const std::string& header : headers_in(read(file))) {
        headers.push_back(header);
        for (const fs::path& folder : folders) {
            const fs::path ours = folder / header;
            if (!fs::exists(ours)) continue;
            if (seen.insert(ours).second) reach(ours, folders, seen, headers);
            break;
        }
    }
}

} // namespace

std::vector<std::string> missing_includes(const std::string& text, const std::vector<std::string>& headers) {
    const std::set<std::string, std::less<>> there(headers.begin(), headers.end());
    const std::string code = without_comments_and_literals(text);
    std::vector<std::string> missing;
    for (const auto& [space, name] : qualified_names(code)) {
        if (declares(code, name)) continue;
        if (space == "std") {
            const auto header = header_of_name().find(name);
            if (header != header_of_name().end() && !there.contains(header->second))
                missing.push_back(fmt::format("std::{} needs <{}>", name, header->second));
        } else if (const auto library = libraries.find(space); library != libraries.end()) {
            const auto first = there.lower_bound(library->second);
            if (first == there.end() || !first->starts_with(library->second))
                missing.push_back(fmt::format("{}::{} needs a header of {}", space, name, library->second));
        }
    }
    return missing;
}

std::vector<std::string> missing_includes(const fs::path& file, const std::vector<fs::path>& folders) {
    std::vector<fs::path> all = folders;
    all.push_back(file.parent_path());
    std::set<fs::path> seen;
    std::vector<std::string> headers;
    reach(file, all, seen, headers);
    return missing_includes(read(file), headers);
}

} // namespace layers
