#pragma once

#include <functional>
#include <map>
#include <string>
#include <string_view>

namespace valve::validation {

/// Numbers that a program in validation/references computed and keeps beside itself: groups of quantities.
class Numbers {
public:
    /// From JSON. Throws std::invalid_argument for what is no object of objects of numbers.
    explicit Numbers(std::string_view json);

    /// A quantity of a group. Throws std::invalid_argument where it is missing.
    double at(std::string_view group, std::string_view quantity) const;

private:
    using Group = std::map<std::string, double, std::less<>>;
    std::map<std::string, Group, std::less<>> m_groups;
};

/// Numbers of the program `name`, "plates" for plates.py, read once. Throws std::runtime_error where its file
/// cannot be read.
const Numbers& numbers(const std::string& name);

} // namespace valve::validation
