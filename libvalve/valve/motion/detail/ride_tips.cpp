#include <valve/motion/detail/ride_tips.hpp>

#include <algorithm>
#include <optional>
#include <utility>

namespace valve::motion::detail {

namespace {

constexpr std::size_t first_acceleration = 4; // of two in what is watched

} // namespace

void RideTips::read(const RideMoment& now) {
    m_values = {now.travel,       -now.travel,       now.speed,     -now.speed,
                now.acceleration, -now.acceleration, now.wheel_load};
    for (const Moment& unit : now.units)
        m_values.insert(m_values.end(), {unit.p_C, -unit.p_C, unit.p_R, -unit.p_R, unit.void_C, unit.void_R,
                                         unit.force, -unit.force});
}

void RideTips::add(const RideMoment& now, std::span<const double> y, std::size_t held) {
    read(now);
    m_watched.resize(m_values.size());
    std::rotate(m_ends.begin(), m_ends.begin() + 1, m_ends.end());
    m_ends.back().time = now.time;
    m_ends.back().held = held;
    m_ends.back().y.assign(y.begin(), y.end());
    for (std::size_t i = 0; i < m_values.size(); ++i) {
        Watched& watched = m_watched[i];
        keep(watched, m_values[i], m_ends.back());
        const std::optional<Turns::Vertex> vertex = watched.turns.add(now.time, m_values[i]);
        if (vertex && vertex->value > watched.most) keep(watched, vertex->value, between(vertex->time));
    }
}

void RideTips::keep(Watched& watched, double value, const Tip& tip) {
    if (watched.any && value <= watched.most) return;
    watched.any = true;
    watched.most = value;
    watched.tip = tip;
}

void RideTips::begin_counting() {
    for (std::size_t i = first_acceleration; i < first_acceleration + 2 && i < m_watched.size(); ++i)
        m_watched[i].any = false;
}

RideTips::Tip RideTips::between(double time) const {
    const auto& [a, b, c] = m_ends;
    const auto share = [time](const Tip& of, const Tip& one, const Tip& other) {
        return (time - one.time) * (time - other.time) / ((of.time - one.time) * (of.time - other.time));
    };
    const double of_a = share(a, b, c);
    const double of_b = share(b, a, c);
    const double of_c = share(c, a, b);
    Tip tip{time, b.held, b.y};
    for (std::size_t i = 0; i < tip.y.size(); ++i)
        tip.y[i] = of_a * a.y[i] + of_b * b.y[i] + of_c * c.y[i];
    return tip;
}

std::vector<RideTips::Tip> RideTips::tips() const {
    std::vector<Tip> tips;
    for (const Watched& watched : m_watched)
        if (watched.any) tips.push_back(watched.tip);
    std::stable_sort(tips.begin(), tips.end(), [](const Tip& a, const Tip& b) {
        return std::pair(a.time, a.held) < std::pair(b.time, b.held);
    });
    tips.erase(std::unique(tips.begin(), tips.end(),
                           [](const Tip& a, const Tip& b) { return a.time == b.time && a.held == b.held; }),
               tips.end());
    return tips;
}

} // namespace valve::motion::detail
