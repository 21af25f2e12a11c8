#include "whole_number.hpp"

#include <fmt/format.h>

#include <charconv>
#include <system_error>

#include "usage.hpp"

namespace program {

std::uint64_t whole_of(const std::string& name, const std::string& text, std::uint64_t least,
                       std::uint64_t most) {
    std::uint64_t value = 0;
    const char* end = text.data() + text.size();
    const auto [last, bad] = std::from_chars(text.data(), end, value);
    if (bad == std::errc() && last == end && value >= least && value <= most) return value;
    constexpr std::uint64_t worth_saying = 1000000; // beyond, nobody asks for that much
    const std::string range = most <= worth_saying ? fmt::format(" from {} to {}", least, most) : "";
    throw UsageError(fmt::format("{}: expected a whole number{}, got '{}'", name, range, text));
}

} // namespace program
