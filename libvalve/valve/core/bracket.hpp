#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

namespace valve {

struct Bracket {
    double low = 0.0;
    double high = 0.0;
};

/// Where `before(x)`, true at `low` and false at `high`, ceases to hold: the bracket halved until it is no
/// wider than `accuracy` of its upper end and 1e-6 more, in the unit of x, which ends it where that is zero.
/// A `before` that gives none ends the search where it stands; so does a bracket between whose ends no number
/// lies.
template <class Before>
Bracket bisect(double low, double high, double accuracy, const Before& before) {
    while (high - low > accuracy * high + 1e-6) {
        const double middle = 0.5 * (low + high);
        if (!(middle > low && middle < high)) break; // no number lies between
        const std::optional<bool> holds = before(middle);
        if (!holds) break;
        (*holds ? low : high) = middle;
    }
    return {low, high};
}

/// A place and the value of a function there.
struct Evaluated {
    double x = 0.0;
    double value = 0.0;
};

/// Where `function`, continuous, not above zero at `low` and above it at `high`, changes sign: the bracket
/// narrowed until it is no wider than `accuracy` of `high`. Few evaluations where the function is
/// smooth, never more than one beyond those of halving. A `function` that gives none ends the search where it
/// stands.
/// Source: the ITP method of oliveira_takahashi_2021.
template <class Function>
Bracket close_in(Evaluated low, Evaluated high, double accuracy, const Function& function) {
    const double half = 0.5 * accuracy * high.x; // ε
    const double first_width = high.x - low.x;
    double reach = half * std::exp2(std::ceil(std::log2(first_width / (2.0 * half))) + 1.0);
    while (high.x - low.x > 2.0 * half) {
        const double width = high.x - low.x;
        const double middle = 0.5 * (low.x + high.x);
        const double secant = (high.value * low.x - low.value * high.x) / (high.value - low.value);
        const double way = std::copysign(1.0, middle - secant);
        const double truncation = std::min(0.2 / first_width * width * width, std::abs(middle - secant));
        const double room = std::max(reach - 0.5 * width, 0.0);
        const double truncated = secant + way * truncation;
        double next = std::abs(truncated - middle) <= room ? truncated : middle - way * room;
        if (!(next > low.x && next < high.x)) next = middle;
        if (!(next > low.x && next < high.x)) break; // no number lies between
        const std::optional<double> value = function(next);
        if (!value) break;
        (*value > 0.0 ? high : low) = Evaluated{next, *value};
        reach *= 0.5;
    }
    return {low.x, high.x};
}

} // namespace valve
