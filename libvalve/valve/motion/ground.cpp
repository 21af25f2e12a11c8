#include <valve/core/detail/infinity.hpp>
#include <valve/core/monotone.hpp>
#include <valve/motion/ground.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace valve::motion {

namespace {

constexpr double step = 2e-3;         // of the search for pieces [m]
constexpr double grid_spacing = 5e-3; // of an envelope that is sampled [m]
constexpr double level = 1e-9;        // heights below count as level ground [m]

// ISO 8608: the band that a wheel feels, around the reference of 0.1 cycles/m.
constexpr double longest = 0.05;  // [cycles/m]
constexpr double shortest = 10.0; // [cycles/m]
constexpr double reference = 0.1; // [cycles/m]

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

Ground::Ground(const Event& event, double radius) : m_radius(radius) {
    const double length = event.speed * event.duration;
    if (event.kind == EventKind::landing) {
        m_parts.push_back({-infinity, infinity, 0.0, 0.0});
        m_breaks = {0.0, length};
        m_contacts.push_back({});
        m_begin = 0.0;
        return;
    }
    if (event.kind == EventKind::rough) {
        add_roughness(event, length);
        sample_envelope(length);
    } else if (event.kind == EventKind::profile) {
        m_distance = event.distance;
        m_heights = event.heights;
        for (double& s : m_distance)
            s += event.at - event.distance.front();
        for (double& z : m_heights)
            z -= event.heights.front();
        sample_envelope(length);
    } else {
        add_parts(event);
        find_pieces(length);
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

/// Equal steps of 1/length in wave number, phases at random: over the whole run the density is exact.
void Ground::add_roughness(const Event& event, double length) {
    const double run = std::max(length - event.at, grid_spacing);
    const double width = std::min(1.0 / run, longest);
    std::mt19937_64 random(event.seed);
    const auto points = static_cast<std::size_t>(std::ceil(run / grid_spacing)) + 1;
    m_distance.resize(points);
    m_heights.assign(points, 0.0);
    for (std::size_t i = 0; i < points; ++i)
        m_distance[i] = event.at + static_cast<double>(i) * grid_spacing;
    const auto waves = static_cast<std::size_t>(std::floor((shortest - longest) / width)) + 1;
    for (std::size_t k = 0; k < waves; ++k) {
        const double n = longest + (static_cast<double>(k) + 0.5) * width;
        if (n > shortest) break;
        const double density = event.roughness * (reference / n) * (reference / n);
        const double amplitude = std::sqrt(2.0 * density * width);
        constexpr double whole = 18446744073709551616.0; // 2^64
        const double phase = 2.0 * std::numbers::pi * (static_cast<double>(random()) / whole);
        for (std::size_t i = 0; i < points; ++i)
            m_heights[i] +=
                amplitude *
                std::sin(2.0 * std::numbers::pi * n * static_cast<double>(i) * grid_spacing + phase);
    }
    const double first = m_heights.front();
    for (double& z : m_heights)
        z -= first;
}

double Ground::profile(double s) const {
    if (!m_distance.empty()) {
        if (s <= m_distance.front()) return m_heights.front();
        if (s >= m_distance.back()) return m_heights.back();
        const auto above = std::upper_bound(m_distance.begin() + 1, m_distance.end() - 1, s);
        const auto i = static_cast<std::size_t>(above - m_distance.begin()) - 1;
        const double share = (s - m_distance[i]) / (m_distance[i + 1] - m_distance[i]);
        return m_heights[i] + share * (m_heights[i + 1] - m_heights[i]);
    }
    double height = -infinity;
    for (const Part& part : m_parts)
        if (s >= part.from && s <= part.to) height = std::max(height, part.value(s));
    return height;
}

/// Every line touches the wheel at an end or where it is its tangent.
void Ground::sample_envelope(double length) {
    const double R = m_radius;
    const auto count = static_cast<std::size_t>(std::ceil(length / grid_spacing)) + 1;
    m_grid.resize(count);
    m_envelope.resize(count);
    const auto under = [&](double u) { return std::sqrt(std::max(0.0, R * R - u * u)) - R; };
    for (std::size_t i = 0; i < count; ++i) {
        const double s = m_grid[i] = static_cast<double>(i) * grid_spacing;
        double height = profile(s);
        if (R > 0.0) {
            auto j = static_cast<std::size_t>(std::lower_bound(m_distance.begin(), m_distance.end(), s - R) -
                                              m_distance.begin());
            if (j > 0) --j;
            for (; j < m_distance.size() && m_distance[j] <= s + R; ++j) {
                const double u = m_distance[j] - s;
                if (std::abs(u) <= R) height = std::max(height, m_heights[j] + under(u));
                if (j + 1 == m_distance.size()) break;
                const double slope = (m_heights[j + 1] - m_heights[j]) / (m_distance[j + 1] - m_distance[j]);
                const double tangent = R * slope / std::sqrt(1.0 + slope * slope);
                if (s + tangent > m_distance[j] && s + tangent < m_distance[j + 1])
                    height = std::max(height,
                                      m_heights[j] + slope * (s + tangent - m_distance[j]) + under(tangent));
            }
        }
        m_envelope[i] = height;
    }
    m_envelope_slope = monotone_slopes(m_grid, m_envelope);
    m_breaks = {0.0, length};
    for (std::size_t i = 0; i < count && !m_begin; ++i)
        if (std::abs(m_envelope[i]) > level) m_begin = i > 0 ? m_grid[i - 1] : 0.0;
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
    for (std::size_t i = 0; i < m_parts.size(); ++i) {
        if (s < m_parts[i].from - m_radius || s > m_parts[i].to + m_radius) continue;
        const std::optional<Contact> here = touch(i, s);
        if (here && here->height > best.height) best = *here;
    }
    return best;
}

/// Contacts that follow on each other, and by halving where.
void Ground::find_pieces(double length) {
    Contact now = contact(0.0);
    m_breaks.push_back(0.0);
    m_contacts.push_back(now);
    const auto steps = static_cast<std::size_t>(std::ceil(length / step));
    for (std::size_t i = 1; i <= steps; ++i) {
        double from = std::min(length, static_cast<double>(i - 1) * step);
        const double to = std::min(length, static_cast<double>(i) * step);
        Contact next = contact(to);
        // Between two points of the search contact may go over more than once.
        constexpr int most = 8;
        for (int k = 0; k < most && !next.same(now); ++k) {
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
    if (!m_grid.empty()) {
        if (s >= m_grid.back()) return {m_envelope.back(), 0.0};
        const auto i = static_cast<std::size_t>(std::max(0.0, s) / grid_spacing);
        const std::size_t j = std::min(i, m_grid.size() - 2);
        return hermite(grid_spacing, (s - m_grid[j]) / grid_spacing, {m_envelope[j], m_envelope_slope[j]},
                       {m_envelope[j + 1], m_envelope_slope[j + 1]});
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

std::optional<double> Ground::spacing() const {
    return m_grid.empty() ? std::nullopt : std::optional<double>(grid_spacing);
}

} // namespace valve::motion
