#include <valve/motion/event.hpp>
#include <valve/motion/ground.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::motion {

double roughness_of_class(char letter) {
    if (letter < 'A' || letter > 'H') throw std::invalid_argument("roughness_of_class: classes are A to H");
    constexpr double best = 16e-6; // [m³]
    return best * std::pow(4.0, letter - 'A');
}

std::optional<CutOff> cut_off(const Event& event) {
    CutOff result{.run = event.speed * event.duration, .ends = event.at};
    switch (event.kind) {
    case EventKind::landing:
        return std::nullopt;
    case EventKind::bump:
    case EventKind::bumps:
    case EventKind::braking:
        result.ends += (event.count - 1) * event.pitch + event.length;
        break;
    case EventKind::profile:
        result.ends += event.distance.back() - event.distance.front();
        break;
    case EventKind::square_edge:
    case EventKind::rough:
        break;
    }
    constexpr double rounding = 1e-9; // of a length in a file
    if (result.ends <= result.run * (1.0 + rounding)) return std::nullopt;
    return result;
}

namespace {

/// Adds an error where the rising points of a profile make a wall that a wheel of `radius` cannot climb: they
/// rise by its radius within a quarter of it, above all that could carry the wheel over what lies before.
void refuse_walls(Findings& findings, const Event& event, double radius) {
    const std::vector<double>& s = event.distance;
    const std::vector<double>& z = event.heights;
    const double width = radius / 4.0;
    std::size_t foot = 0; // the last point no nearer than that
    for (std::size_t i = 1; i < s.size() && radius > 0.0; ++i) {
        while (foot + 1 < i && s[foot + 1] <= s[i] - width)
            ++foot;
        const double from = std::max(s[i] - width, s.front());
        double before = z[foot] + (z[foot + 1] - z[foot]) * (from - s[foot]) / (s[foot + 1] - s[foot]);
        if (z[i] - before < radius) continue;
        for (std::size_t k = foot + 1; k-- > 0 && s[k] >= from - 2.0 * radius;)
            before = std::max(before, z[k]);
        if (z[i] - before < radius) continue;
        add_error(findings, "file",
                  fmt::format("at {:.5g} m the profile rises by {:.3g} m within {:.2g} m: a wheel of {:g} m "
                              "radius cannot climb it; is a point, or the unit of the heights, wrong?",
                              s[i], z[i] - before, s[i] - from, radius));
        return;
    }
}

} // namespace

Findings check(const Event& event, double radius) {
    Findings findings;
    const bool is_landing = event.kind == EventKind::landing;
    require(findings, "duration", event.duration, above_zero_to(600.0, "s"));
    require(findings, "speed", event.speed,
            is_landing ? Limits{0.0, 150.0, "m/s"} : above_zero_to(150.0, "m/s"));
    require(findings, "at", event.at, {0.0, 1e5, "m"});
    require(findings, "height", event.height, {0.0, 20.0, "m"});
    require(findings, "slope", event.slope, {0.0, 60.0, "deg"});
    require(findings, "load_transfer", event.load_transfer, {-1e5, 1e5, "N"});
    require(findings, "transfer_time", event.transfer_time, above_zero_to(10.0, "s"));
    const bool has_bumps =
        event.kind == EventKind::bump || event.kind == EventKind::bumps || event.kind == EventKind::braking;
    if (has_bumps) {
        require(findings, "length", event.length, above_zero_to(1e4, "m"));
        require_count(findings, "count", event.count, 1, 10000);
        if (event.count > 1 && require(findings, "pitch", event.pitch, above_zero_to(1e4, "m")) &&
            event.pitch < event.length)
            add_error(
                findings, "pitch",
                fmt::format("{:g} m from bump to bump, but a bump is {:g} m long", event.pitch, event.length),
                "length");
    }
    if (event.kind == EventKind::square_edge && std::isfinite(event.height) && event.height >= radius)
        add_error(
            findings, "height",
            fmt::format("a wheel of {:g} m radius cannot climb an edge of {:g} m", radius, event.height));
    if (event.kind == EventKind::rough) {
        require(findings, "roughness", event.roughness, above_zero_to(1.0, "m3"));
        const double ridden = event.speed * event.duration - event.at;
        if (ridden > rough_road_length)
            add_error(
                findings, "duration",
                fmt::format("{:g} m of a rough road would be ridden, and after {:g} m it repeats; at {:g} "
                            "m/s at most {:.5g} s",
                            ridden, rough_road_length, event.speed,
                            (rough_road_length + event.at) / event.speed));
    }
    if (event.kind == EventKind::profile) {
        if (event.distance.size() < 2 || event.distance.size() != event.heights.size())
            add_error(findings, "file", "expected two points of distance and height or more");
        for (std::size_t i = 0; i < event.distance.size() && i < event.heights.size(); ++i)
            if (!std::isfinite(event.distance[i]) || !std::isfinite(event.heights[i]) ||
                (i > 0 && !(event.distance[i] > event.distance[i - 1]))) {
                add_error(findings, "file",
                          fmt::format("distances must rise from point to point; point {} does not", i + 1));
                break;
            }
        if (findings.empty()) refuse_walls(findings, event, radius);
    }
    return findings;
}

namespace {

/// How far before it begins a feature lifts a wheel of `radius` off the level [m].
double reach(Event event, double radius) {
    event.at = radius;
    event.count = 1;
    event.speed = 1.0; // so that the run ends where the feature begins
    event.duration = radius;
    return radius - Ground(event, radius).begin().value_or(radius);
}

} // namespace

Findings check_start(const Event& event, double radius) {
    Findings findings;
    const bool is_feature = event.kind == EventKind::square_edge || event.kind == EventKind::bump ||
                            event.kind == EventKind::bumps || event.kind == EventKind::braking;
    if (!is_feature || event.at >= radius) return findings;
    const double before = reach(event, radius);
    if (event.at < before)
        add_error(findings, "at",
                  fmt::format("{:g} m: the wheel, {:g} m in radius, would begin on it; at least {:.3f} m",
                              event.at, radius, std::ceil(before * 1e3) / 1e3));
    return findings;
}

} // namespace valve::motion
