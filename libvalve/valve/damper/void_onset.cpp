#include <valve/damper/steady.hpp>

#include <cmath>
#include <numbers>
#include <optional>
#include <stdexcept>

namespace valve::damper {

namespace {

/// Headroom of the chamber that can run empty on this stroke [Pa]: R in compression, C on rebound; zero once
/// it has.
double headroom(const Model& model, Stroke stroke, double speed, double travel) {
    const bool compression = stroke == Stroke::compression;
    const SteadyPoint point = steady_point(model, compression ? speed : -speed, travel);
    if (point.cavitated) return 0.0;
    return compression ? point.headroom_R : point.headroom_C;
}

/// Speed at which `headroom` first vanishes between `above`, where it does not, and `below`, where it does.
template <class Headroom>
double first_void(const Headroom& headroom_at, double above, double below) {
    constexpr double tolerance = 1e-12;
    while (below - above > tolerance * below) {
        const double middle = 0.5 * (above + below);
        (headroom_at(middle) > 0.0 ? above : below) = middle;
    }
    return below;
}

/// A speed between `low` and `high` at which the headroom has vanished, looked for round a dip that lies
/// between them (golden section).
template <class Headroom>
std::optional<double> void_in_dip(const Headroom& headroom_at, double low, double high) {
    constexpr int steps = 30; // narrows the dip to 1e-6 of the interval
    constexpr double golden = std::numbers::phi - 1.0;
    double left = high - golden * (high - low);
    double right = low + golden * (high - low);
    double at_left = headroom_at(left);
    double at_right = headroom_at(right);
    for (int step = 0; step < steps; ++step) {
        if (at_left <= 0.0) return left;
        if (at_right <= 0.0) return right;
        if (at_left < at_right) {
            high = right;
            right = left;
            at_right = at_left;
            left = high - golden * (high - low);
            at_left = headroom_at(left);
        } else {
            low = left;
            left = right;
            at_left = at_right;
            right = low + golden * (high - low);
            at_right = headroom_at(right);
        }
    }
    return std::nullopt;
}

/// Scans from rest to `top_speed`: the headroom may dip and recover, so that its sign at the top says
/// nothing.
template <class Headroom>
std::optional<double> scan(const Headroom& headroom_at, double top_speed) {
    constexpr int intervals = 200;
    const auto speed = [&](int i) { return top_speed * i / intervals; };
    double before_last = headroom_at(0.0);
    double last = before_last;
    for (int i = 1; i <= intervals; ++i) {
        const double here = headroom_at(speed(i));
        if (i > 1 && last < before_last && last <= here) {
            if (const std::optional<double> inside = void_in_dip(headroom_at, speed(i - 2), speed(i)))
                return first_void(headroom_at, speed(i - 2), *inside);
        }
        if (here <= 0.0) return first_void(headroom_at, speed(i - 1), speed(i));
        before_last = last;
        last = here;
    }
    return std::nullopt;
}

} // namespace

VoidOnset find_void_onset(const Model& model, double travel, double top_speed) {
    if (!(top_speed > 0.0)) throw std::invalid_argument("find_void_onset: top speed must be positive");
    VoidOnset onset;
    const auto search = [&](Stroke stroke) -> std::optional<double> {
        try {
            return scan([&](double speed) { return headroom(model, stroke, speed, travel); }, top_speed);
        } catch (const SolveError& error) {
            onset.error = onset.error ? *onset.error + "; " + error.what() : error.what();
            return std::nullopt;
        }
    };
    onset.compression = search(Stroke::compression);
    onset.rebound = search(Stroke::rebound);
    return onset;
}

} // namespace valve::damper
