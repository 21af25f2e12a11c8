#pragma once

#include <cstddef>

namespace valve {

/// An index of Eigen's or of our own, whole and not negative, as one of the standard containers'.
constexpr std::size_t at(std::ptrdiff_t index) {
    return static_cast<std::size_t>(index);
}

} // namespace valve
