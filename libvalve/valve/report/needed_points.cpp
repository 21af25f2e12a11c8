#include <valve/report/needed_points.hpp>

#include <cmath>
#include <cstddef>

namespace valve::report {

namespace {

/// The point that is furthest off a line is needed, and then on both sides of it.
void add(const std::vector<double>& x, const std::vector<std::vector<double>>& curves, double error,
         std::size_t from, std::size_t to, std::vector<bool>& needed) {
    std::size_t worst = from;
    double most = error;
    for (const std::vector<double>& y : curves) {
        const double slope = (y[to] - y[from]) / (x[to] - x[from]);
        for (std::size_t i = from + 1; i < to; ++i)
            if (const double off = std::abs(y[i] - y[from] - slope * (x[i] - x[from])); off > most) {
                most = off;
                worst = i;
            }
    }
    if (worst == from) return;
    needed[worst] = true;
    add(x, curves, error, from, worst, needed);
    add(x, curves, error, worst, to, needed);
}

} // namespace

std::vector<bool> needed_points(const std::vector<double>& x, const std::vector<std::vector<double>>& curves,
                                double error) {
    std::vector<bool> needed(x.size(), false);
    needed.front() = needed.back() = true;
    add(x, curves, error, 0, x.size() - 1, needed);
    return needed;
}

} // namespace valve::report
