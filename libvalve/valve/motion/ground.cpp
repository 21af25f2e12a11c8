#include <valve/core/cubic.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/core/monotone.hpp>
#include <valve/motion/detail/road.hpp>
#include <valve/motion/detail/rough_road.hpp>
#include <valve/motion/ground.hpp>
#include <valve/motion/stopped.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace valve::motion {

namespace {

constexpr double step = 2e-3;         // of the search for pieces [m]
constexpr double grid_spacing = 5e-3; // at which z_e over a road is exact [m]
constexpr double level = 1e-9;        // heights below count as level ground [m]

} // namespace

double Ground::Part::value(double s) const {
    if (height == 0.0) return level;
    return level + height * std::sin(std::numbers::pi * (s - from) / (to - from));
}

double Ground::Part::slope(double s) const {
    if (height == 0.0) return 0.0;
    const double wave = std::numbers::pi / (to - from);
    return height * wave * std::cos(wave * (s - from));
}

Ground::Ground(const Event& event, double radius, const std::stop_token& stop) : m_radius(radius) {
    const double length = event.speed * event.duration;
    if (event.kind == EventKind::landing) {
        m_parts.push_back({-infinity, infinity, 0.0, 0.0});
        m_breaks = {0.0, length};
        m_contacts.push_back({});
        m_begin = 0.0;
        return;
    }
    if (event.kind == EventKind::rough || event.kind == EventKind::profile) {
        ride_on(event, length, stop);
    } else {
        add_parts(event);
        find_pieces(length, stop);
    }
}

void Ground::add_parts(const Event& event) {
    if (event.kind == EventKind::square_edge) {
        m_parts.push_back({-infinity, event.at, 0.0, 0.0});
        m_parts.push_back({event.at, infinity, event.height, 0.0});
        return;
    }
    m_parts.push_back({-infinity, infinity, 0.0, 0.0});
    if (event.height == 0.0) return;
    for (int i = 0; i < event.count; ++i) {
        const double from = event.at + i * event.pitch;
        m_parts.push_back({from, from + event.length, 0.0, event.height});
    }
}

double Ground::profile(double s) const {
    if (m_road) return m_road->at(s).value;
    double height = -infinity;
    for (const Part& part : m_parts)
        if (s >= part.from && s <= part.to) height = std::max(height, part.value(s));
    return height;
}

void Ground::ride_on(const Event& event, double length, const std::stop_token& stop) {
    const bool is_rough = event.kind == EventKind::rough;
    if (is_rough) {
        // Beyond the run as far as the wheel reaches: its end is not felt.
        const double run = std::max(0.0, length - event.at) + m_radius;
        constexpr std::size_t for_a_spline = 5;
        const auto points = static_cast<std::size_t>(std::ceil(run / detail::rough_spacing)) + for_a_spline;
        m_road = std::make_shared<const detail::Road>(
            event.at, detail::rough_spacing,
            detail::rough_heights(event.roughness, event.seed, points, stop));
    } else {
        std::vector<double> distance = event.distance;
        std::vector<double> heights = event.heights;
        for (double& s : distance)
            s += event.at - event.distance.front();
        for (double& z : heights)
            z -= event.heights.front();
        m_road = std::make_shared<const detail::Road>(distance, heights);
    }
    detail::Rolled rolled;
    if (m_radius > 0.0) {
        rolled = detail::roll(*m_road, m_radius, length, grid_spacing, stop);
    } else {
        const auto count = static_cast<std::size_t>(std::ceil(length / grid_spacing)) + 1;
        std::vector<double> heights;
        for (std::size_t i = 0; i < count; ++i) {
            rolled.s.push_back(static_cast<double>(i) * grid_spacing);
            rolled.z.push_back(m_road->at(rolled.s.back()));
            heights.push_back(rolled.z.back().value);
        }
        if (!is_rough && count > 1) { // corners are rounded, and no slope is theirs
            const std::vector<double> slopes = monotone_slopes(rolled.s, heights);
            for (std::size_t i = 0; i < count; ++i)
                rolled.z[i].slope = slopes[i];
        }
        rolled.first = {0, count};
    }
    for (const std::size_t first : rolled.first)
        m_breaks.push_back(first < rolled.s.size() ? rolled.s[first] : length);
    for (std::size_t i = 0; i < rolled.s.size() && !m_begin; ++i)
        if (std::abs(rolled.z[i].value) > level) m_begin = i > 0 ? rolled.s[i - 1] : 0.0;
    m_rolled = std::make_shared<const detail::Rolled>(std::move(rolled));
}

std::optional<Ground::Contact> Ground::touch(std::size_t number, double s) const {
    const Part& part = m_parts[number];
    const double R = m_radius;
    const double low = std::max(part.from - s, -R);
    const double high = std::min(part.to - s, R);
    if (low > high) return std::nullopt;
    const auto under = [&](double u) { return std::sqrt(std::max(0.0, R * R - u * u)) - R; };
    const auto lean = [&](double u) { return u / std::sqrt(std::max(R * R - u * u, 1e-300)); };
    if (R == 0.0) return Contact{number, 0, part.value(s), part.slope(s)};
    // Falls along u: towards the top of what touches.
    const auto uphill = [&](double u) { return part.slope(s + u) - lean(u); };
    if (low > -R && uphill(low) <= 0.0)
        return Contact{number, -1, part.value(s + low) + under(low), lean(low)};
    if (high < R && uphill(high) >= 0.0)
        return Contact{number, 1, part.value(s + high) + under(high), lean(high)};
    if (part.height == 0.0) return Contact{number, 0, part.level, 0.0};
    return touch_inside(number, s, low, high);
}

/// Where the lean of the wheel is the slope of a bump, between u = `low` and `high`.
Ground::Contact Ground::touch_inside(std::size_t number, double s, double low, double high) const {
    const Part& part = m_parts[number];
    const double R = m_radius;
    const double wave = std::numbers::pi / (part.to - part.from);
    const double crest = wave * wave * part.height;
    double u = part.slope(s) / (1.0 / R + crest); // where the lean of a small bump would be its slope
    if (!(u > low && u < high)) u = 0.5 * (low + high);
    constexpr int most = 200;
    for (int i = 0;; ++i) {
        const double phase = wave * (s + u - part.from);
        const double rise = part.height * std::sin(phase);
        const double slope = part.height * wave * std::cos(phase);
        const double square = std::max(R * R - u * u, 1e-300);
        const double root = std::sqrt(square);
        const double excess = slope - u / root;
        (excess > 0.0 ? low : high) = u;
        const double bend = wave * wave * rise + R * R / (square * root);
        const double change = excess / bend;
        const bool inside = u + change > low && u + change < high;
        constexpr double near = 1e-9; // of the radius: a step of Newton's so short leaves its square
        if (inside && std::abs(change) < near * R) {
            const double there = u + change;
            return {number, 0,
                    part.level + rise + slope * change + std::sqrt(std::max(0.0, R * R - there * there)) - R,
                    slope - wave * wave * rise * change};
        }
        if (i == most || high - low <= 1e-16) return {number, 0, part.level + rise + root - R, slope};
        u = inside ? u + change : 0.5 * (low + high);
    }
}

Ground::Contact Ground::contact(double s) const {
    Contact best;
    best.height = -infinity;
    const auto look = [&](std::size_t i) {
        if (s < m_parts[i].from - m_radius || s > m_parts[i].to + m_radius) return;
        const std::optional<Contact> here = touch(i, s);
        if (here && here->height > best.height) best = *here;
    };
    look(0);
    // All others begin and end one after the other.
    const auto first = std::lower_bound(m_parts.begin() + 1, m_parts.end(), s - m_radius,
                                        [](const Part& part, double least) { return part.to < least; });
    for (auto part = first; part != m_parts.end() && part->from - m_radius <= s; ++part)
        look(static_cast<std::size_t>(part - m_parts.begin()));
    return best;
}

/// Where to look for contacts: every step, and the ends and the middle of each part, lest a short one be
/// stepped over.
std::vector<double> Ground::places(double length) const {
    std::vector<double> list;
    const auto steps = static_cast<std::size_t>(std::ceil(length / step));
    for (std::size_t i = 1; i <= steps; ++i)
        list.push_back(std::min(length, static_cast<double>(i) * step));
    for (const Part& part : m_parts)
        for (const double s : {part.from, 0.5 * (part.from + part.to), part.to})
            if (s > 0.0 && s < length) list.push_back(s);
    std::sort(list.begin(), list.end());
    return list;
}

/// Contacts that follow on each other, and by halving where.
void Ground::find_pieces(double length, const std::stop_token& stop) {
    Contact now = contact(0.0);
    m_breaks.push_back(0.0);
    m_contacts.push_back(now);
    double before = 0.0;
    for (const double to : places(length)) {
        if (stop.stop_requested()) throw Stopped("stopped");
        double from = std::exchange(before, to);
        const Contact next = contact(to);
        // Between two points of the search contact may go over more than once.
        constexpr int most = 64;
        for (int k = 0; !next.same(now); ++k) {
            if (k == most) { // a tie that rounding breaks: on from where it ends
                m_breaks.push_back(to);
                m_contacts.push_back(next);
                now = next;
                break;
            }
            double low = from;
            double high = to;
            Contact then = next;
            while (high - low > 1e-13 + 1e-15 * high) {
                const double middle = 0.5 * (low + high);
                if (!(middle > low && middle < high)) break;
                const Contact here = contact(middle);
                if (here.same(now)) {
                    low = middle;
                } else {
                    high = middle;
                    then = here;
                }
            }
            const bool from_level = m_parts[now.part].height == 0.0 && m_parts[now.part].level == 0.0;
            m_breaks.push_back(high);
            m_contacts.push_back(then);
            if (from_level && !m_begin) m_begin = high;
            if (m_parts[then.part].height > 0.0 && then.part != now.part) m_bump_begins.push_back(high);
            now = then;
            from = high;
        }
    }
    m_breaks.push_back(length);
}

ValueSlope Ground::at(std::size_t piece, double s) const {
    if (m_rolled) {
        const std::vector<double>& knots = m_rolled->s;
        const auto first = knots.begin() + static_cast<std::ptrdiff_t>(m_rolled->first[piece]);
        const auto last = knots.begin() + static_cast<std::ptrdiff_t>(m_rolled->first[piece + 1]) - 1;
        const auto i = static_cast<std::size_t>(std::upper_bound(first + 1, last, s) - knots.begin()) - 1;
        const double width = knots[i + 1] - knots[i];
        return hermite(width, (s - knots[i]) / width, m_rolled->z[i], m_rolled->z[i + 1]);
    }
    const Contact& what = m_contacts[piece];
    const Part& part = m_parts[what.part];
    if (what.place != 0 && m_radius > 0.0) {
        const double corner = what.place < 0 ? part.from : part.to;
        const double u = corner - s;
        const double root = std::sqrt(std::max(m_radius * m_radius - u * u, 1e-300));
        return {part.value(corner) + root - m_radius, u / root};
    }
    if (part.height == 0.0) return {part.level, 0.0};
    const double low = std::max(part.from - s, -m_radius);
    const double high = std::min(part.to - s, m_radius);
    if (low > high) return {part.level, 0.0};
    if (m_radius == 0.0) return {part.value(s), part.slope(s)};
    const Contact here = touch_inside(what.part, s, low, high);
    return {here.height, here.slope};
}

} // namespace valve::motion
