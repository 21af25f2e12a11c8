#include <valve/core/detail/infinity.hpp>
#include <valve/motion/detail/road.hpp>
#include <valve/motion/stopped.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::motion::detail {

namespace {

using Point = Road::Point;

/// Jumps of the slope below this are left to the cubics: at some m/s they are small beside what tyres damp.
constexpr double least_jump = 2e-3;

/// Of a step in which contact moves fast.
constexpr int most_halvings = 5;

/// How often whether to stop is asked, in points.
constexpr std::size_t ask_every = 65536;

/// Where the wheel touches, standing at some s.
struct Contact {
    std::size_t point = 0; // the highest seen by the wheel nearby
    double place = 0.0;    // where it touches [m]
    double height = -infinity;
    double slope = 0.0;
};

class Roller {
public:
    Roller(const Road& road, double radius, double length, double spacing, const std::stop_token& stop)
        : m_radius(radius), m_spacing(spacing), m_stop(stop) {
        lay(road.points(), length);
        find_best();
    }

    Rolled run(double length) {
        const auto steps = static_cast<std::size_t>(std::ceil(length / m_spacing));
        Contact now = touched(0.0);
        m_result.first.push_back(0);
        add(0.0, now);
        double from = 0.0;
        for (std::size_t i = 1; i <= steps; ++i) {
            if (i % ask_every == 0) ask();
            const double to = std::min(length, static_cast<double>(i) * m_spacing);
            if (!(to > from)) break;
            const Contact next = touched(to);
            go(now, next, from, to, most_halvings);
            now = next;
            from = to;
        }
        m_result.first.push_back(m_result.s.size());
        return std::move(m_result);
    }

private:
    void ask() const {
        if (m_stop.stop_requested()) throw Stopped("stopped");
    }

    /// The points that count, so close that between two of them the wheel sinks by little; level before and
    /// after.
    void lay(std::span<const Point> points, double length) {
        const double reach = m_radius + 2.0 * m_spacing;
        const auto fill = [&](const Point& left, const Point& right) { // between, without both
            const double from = std::max(left.s, -reach);
            const double to = std::min(right.s, length + reach);
            if (!(to > from)) return;
            const auto parts =
                static_cast<std::size_t>(std::ceil((right.s - left.s) / m_spacing * (1.0 - 1e-9)));
            const double step = (right.s - left.s) / static_cast<double>(parts);
            const auto begin = static_cast<std::size_t>(std::max(1.0, std::floor((from - left.s) / step)));
            for (std::size_t k = begin; k < parts; ++k) {
                const double s = left.s + static_cast<double>(k) * step;
                if (s > to + step) break;
                if (k % ask_every == 0) ask();
                const Bend at = between(left, right, s);
                m_points.push_back({s, at.value, at.slope, at.slope});
            }
        };
        const Point& front = points.front();
        const Point& back = points.back();
        const double begin = std::min(front.s, 0.0) - reach;
        const double end = std::max(back.s, length) + reach;
        fill({begin, front.height, 0.0, 0.0}, {front.s, front.height, 0.0, 0.0});
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (i % ask_every == 0) ask();
            if (points[i].s >= -reach && points[i].s <= length + reach) m_points.push_back(points[i]);
            if (i + 1 < points.size()) fill(points[i], points[i + 1]);
        }
        fill({back.s, back.height, 0.0, 0.0}, {end, back.height, 0.0, 0.0});
    }

    double under(double u) const { return std::sqrt(std::max(0.0, m_radius * m_radius - u * u)) - m_radius; }
    double lean(double u) const { return u / std::sqrt(std::max(m_radius * m_radius - u * u, 1e-300)); }

    /// How high the wheel at s stands on a point.
    double on(std::size_t point, double s) const {
        const double u = m_points[point].s - s;
        return std::abs(u) <= m_radius ? m_points[point].height + under(u) : -infinity;
    }

    /// From where on, along s, a wheel stands on `right` rather than on `left`: there both touch it.
    double passes_on(std::size_t left, std::size_t right) const {
        const Point& a = m_points[left];
        const Point& b = m_points[right];
        const double from = b.s - m_radius; // the right one is reached
        const double to = a.s + m_radius;   // the left one is left
        if (from >= to) return 0.5 * (from + to);
        const double rise = b.height - a.height;
        const double apart = b.s - a.s;
        const double square = apart * apart + rise * rise;
        const double height = m_radius * m_radius / square - 0.25;
        const double hub = 0.5 * (a.height + b.height) + std::sqrt(std::max(0.0, height)) * apart;
        if (!(height > 0.0) || hub < std::max(a.height, b.height)) return rise > 0.0 ? from : to; // a wall
        return std::clamp(0.5 * (a.s + b.s) - std::sqrt(height) * rise, from, to);
    }

    /// Of all points those that the wheel stands on in turn. Two wheels' rims cross once, so that a point
    /// that has been passed on from is never stood on again.
    void find_best() {
        m_turn.reserve(m_points.size());
        for (std::size_t j = 0; j < m_points.size(); ++j) {
            if (j % ask_every == 0) ask();
            double from = -infinity;
            while (!m_turn.empty()) {
                from = passes_on(m_turn.back().point, j);
                if (from > m_turn.back().from) break;
                m_turn.pop_back();
                from = -infinity;
            }
            m_turn.push_back({j, from});
        }
    }

    void add(double s, const Contact& at) {
        m_result.s.push_back(s);
        m_result.z.push_back({at.height, at.slope});
    }

    /// From one contact to another, the first being added already.
    void go(const Contact& now, const Contact& next, double from, double to, int halvings) {
        if (same(follow(now, to), next)) {
            constexpr double fast =
                3.0; // times as the wheel: where it has hardly room, so that z_e turns sharply
            if (halvings > 0 && next.place - now.place > fast * (to - from)) {
                const double middle = 0.5 * (from + to);
                const Contact between = touched(middle);
                go(now, between, from, middle, halvings - 1);
                go(between, next, middle, to, halvings - 1);
                return;
            }
        } else {
            Contact before;
            Contact after;
            const double where = find_jump(now, next, from, to, before, after);
            if (std::abs(after.slope - before.slope) > least_jump && where > from && where < to) {
                add(where, before);
                m_result.first.push_back(m_result.s.size());
                add(where, after);
            }
        }
        add(to, next);
    }

    /// Where the wheel at s touches; quick where s is near that of the call before.
    Contact touched(double s) {
        while (m_at + 1 < m_turn.size() && m_turn[m_at + 1].from <= s)
            ++m_at;
        while (m_at > 0 && m_turn[m_at].from > s)
            --m_at;
        Contact best = near(m_turn[m_at].point, s);
        // Between points the road is higher than they tell: just before or after a jump the other side may be
        // the higher one.
        for (const std::size_t other : {m_at - 1, m_at + 1}) {
            if (other >= m_turn.size()) continue;
            const std::size_t point = m_turn[other].point;
            if (point + 1 >= m_turn[m_at].point && point <= m_turn[m_at].point + 1) continue;
            const Contact there = follow({point, 0.0, 0.0, 0.0}, s);
            if (there.height > best.height) best = there;
        }
        return best;
    }

    /// The contact that goes on from `from` as the wheel goes to s: uphill, as the wheel sees it.
    Contact follow(const Contact& from, double s) const {
        std::size_t i = from.point;
        double height = on(i, s);
        for (;;) {
            const double left = i > 0 ? on(i - 1, s) : -infinity;
            const double right = i + 1 < m_points.size() ? on(i + 1, s) : -infinity;
            if (right > height && right >= left) {
                ++i;
                height = right;
            } else if (left > height) {
                --i;
                height = left;
            } else {
                return near(i, s);
            }
        }
    }

    static bool same(const Contact& a, const Contact& b) {
        constexpr double alike = 1e-9; // [m]
        return a.point == b.point || std::abs(a.place - b.place) < alike;
    }

    /// Of the points about `i` none is higher than it: the highest place between them.
    Contact near(std::size_t i, double s) const {
        const Point& at = m_points[i];
        const double stand = lean(at.s - s);
        if (i + 1 < m_points.size() && at.slope_after > stand) return between_points(i, i, s);
        if (i > 0 && at.slope_before < stand) return between_points(i, i - 1, s);
        return {i, at.s, at.height + under(at.s - s), stand};
    }

    /// Where the road is as steep as the rim: of the cubic from point `left` on.
    Contact between_points(std::size_t best, std::size_t left, double s) const {
        const Point& a = m_points[left];
        const Point& b = m_points[left + 1];
        double low = std::max(a.s, s - m_radius);
        double high = std::min(b.s, s + m_radius);
        double x = best == left ? low : high;
        constexpr int most = 100;
        for (int k = 0;; ++k) {
            const Bend at = between(a, b, x);
            const double u = x - s;
            const double square = std::max(m_radius * m_radius - u * u, 1e-300);
            const double root = std::sqrt(square);
            const double excess = at.slope - u / root;
            const double fall = at.bend - m_radius * m_radius / (square * root);
            (excess > 0.0 ? low : high) = x;
            const double next = fall < 0.0 ? x - excess / fall : infinity;
            constexpr double near_enough = 1e-13; // [m]
            if (std::abs(next - x) < near_enough || k == most || !(high - low > near_enough))
                return {best, x, at.value + root - m_radius, u / root};
            x = next > low && next < high ? next : 0.5 * (low + high);
        }
    }

    /// Where between `from` and `to` the contact `after` becomes the higher one.
    double find_jump(const Contact& first, const Contact& last, double from, double to, Contact& before,
                     Contact& after) const {
        double low = from;
        double high = to;
        double where = 0.5 * (low + high);
        for (;;) {
            before = follow(first, where);
            after = follow(last, where);
            const double ahead = before.height - after.height;
            (ahead > 0.0 ? low : high) = where;
            constexpr double near_enough = 1e-13; // [m]
            const double fall = before.slope - after.slope;
            const double next = fall < 0.0 ? where - ahead / fall : infinity;
            if (std::abs(next - where) < near_enough || !(high - low > near_enough)) return where;
            const double middle = 0.5 * (low + high);
            if (!(middle > low && middle < high)) return where;
            where = next > low && next < high ? next : middle;
        }
    }

    struct Turn {
        std::size_t point = 0;
        double from = 0.0; // wheels from here on stand on it
    };

    double m_radius;
    double m_spacing;
    const std::stop_token& m_stop;
    std::vector<Point> m_points;
    std::vector<Turn> m_turn;
    std::size_t m_at = 0; // of the turns, the last that was asked for
    Rolled m_result;
};

} // namespace

Rolled roll(const Road& road, double radius, double length, double spacing, const std::stop_token& stop) {
    Roller roller(road, radius, length, spacing, stop);
    return roller.run(length);
}

} // namespace valve::motion::detail
