#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>

#include "options.hpp"

namespace program {

/// A whole number that option `name` was given. Throws UsageError for anything else, and outside `least` to
/// `most`.
std::uint64_t whole_of(const std::string& name, const std::string& text, std::uint64_t least,
                       std::uint64_t most);

/// An option with a whole number from `least` to `most`.
template <class Whole>
Option add_whole(const Command& command, const std::string& name, Whole& value,
                 const std::string& description, Whole most = std::numeric_limits<Whole>::max(),
                 Whole least = 0) {
    return command
        .add_option(
            name,
            [name, least, most, &value](const std::string& text) {
                value = static_cast<Whole>(whole_of(name, text, least, most));
            },
            description)
        .option_text("N");
}

/// The same of a number that may be left out.
template <class Whole>
Option add_whole(const Command& command, const std::string& name, std::optional<Whole>& value,
                 const std::string& description) {
    return command
        .add_option(
            name,
            [name, &value](const std::string& text) {
                value = static_cast<Whole>(whole_of(name, text, 0, std::numeric_limits<Whole>::max()));
            },
            description)
        .option_text("N");
}

} // namespace program
