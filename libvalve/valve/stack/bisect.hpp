#pragma once

#include <optional>

namespace valve::stack {

struct Bracket {
    double low = 0.0;
    double high = 0.0;
};

/// Where `before(x)`, true at `low` and false at `high`, ceases to hold: the bracket halved until it is no
/// wider than `accuracy` of its upper end (or 1e-6, should that be zero). A `before` that gives none ends the
/// search where it stands.
template <class Before>
Bracket bisect(double low, double high, double accuracy, const Before& before) {
    while (high - low > accuracy * high + 1e-6) {
        const double middle = 0.5 * (low + high);
        const std::optional<bool> holds = before(middle);
        if (!holds) break;
        (*holds ? low : high) = middle;
    }
    return {low, high};
}

} // namespace valve::stack
