#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/steady.hpp>
#include <valve/study/dead_travel.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve::study {

namespace {

using motion::RodMoment;
using Moments = std::span<const RodMoment>;

bool at_rest(const RodMoment& moment) {
    constexpr double slowest = 1e-9; // [m/s]
    return std::abs(moment.speed) < slowest;
}

/// The damping force over a stroke (`sign` 1: compression) beside 90 % of its steady value.
class NinetyPercent {
public:
    NinetyPercent(const damper::Model& model, Moments moments, double sign, damper::RodInto rod_into)
        : m_model(model), m_moments(moments), m_sign(sign), m_rod_into(rod_into) {}

    /// sgn(v) F_damping less that, at a moment [N]; none where there is no steady state.
    std::optional<double> excess(std::size_t i) const {
        const std::optional<Steady> steady = steady_at(i);
        if (!steady) return std::nullopt;
        return m_sign * m_moments[i].force - steady->still - steady->ninety;
    }

    /// The damping force by its steady value at a moment [-]; none where there is no steady state.
    std::optional<double> share(std::size_t i) const {
        const std::optional<Steady> steady = steady_at(i);
        if (!steady || !(steady->ninety > 0.0)) return std::nullopt;
        return reached * (m_sign * m_moments[i].force - steady->still) / steady->ninety;
    }

    /// Whether it is above zero at `i` without solving for its steady state, in a stroke that begins at
    /// `begin`. Asked moment by moment downwards.
    bool is_surely_above(std::size_t i, std::size_t begin) {
        if (i < m_low) { // steady forces rise with the speed; in travel they lie between those at both ends
            constexpr std::size_t stride = 16;
            m_low = i - std::min(i - begin, stride);
            double speed = 0.0;
            for (std::size_t k = m_low; k <= i; ++k)
                speed = std::max(speed, m_sign * m_moments[k].speed);
            const std::optional<Steady> late = steady_at(m_sign * speed, m_moments[i].travel);
            const std::optional<Steady> early = steady_at(m_sign * speed, m_moments[m_low].travel);
            m_most = infinity;
            if (late && early)
                m_most = std::max(late->still, early->still) + std::max(late->ninety, early->ninety);
        }
        return m_sign * m_moments[i].force > m_most;
    }

private:
    static constexpr double reached = 0.9;

    struct Steady {
        double still = 0.0;  // sgn(v) F_static [N]
        double ninety = 0.0; // 90 % of |F_damping| [N]
    };

    std::optional<Steady> steady_at(std::size_t i) const {
        return steady_at(m_moments[i].speed, m_moments[i].travel);
    }

    std::optional<Steady> steady_at(double speed, double travel) const {
        try {
            const damper::SteadyPoint steady = damper::steady_point(m_model, speed, travel, m_rod_into);
            return Steady{m_sign * steady.static_force, reached * std::abs(steady.damping_force)};
        } catch (const SolveError&) {
            return std::nullopt;
        }
    }

    const damper::Model& m_model;
    Moments m_moments;
    double m_sign;
    damper::RodInto m_rod_into;
    std::size_t m_low = std::numeric_limits<std::size_t>::max(); // from here up to the last asked for
    double m_most = 0.0;                                         // none needs more force than this [N]
};

/// How far from `reversal` the excess passes zero on its way from `low` at moment `i` to `high` at the next
/// [m].
double travel_between(Moments moments, double reversal, std::size_t i, double low, double high) {
    const double share = low / (low - high);
    const double travel = moments[i].travel + share * (moments[i + 1].travel - moments[i].travel);
    return std::abs(travel - reversal);
}

/// As dead_travel(). What is less than `at_least` counts as that [m], which saves most of the search; dips
/// are looked for if `seeks_dips`.
DeadTravel walk_down(NinetyPercent ninety, Moments moments, const HalfStroke& half, double at_least,
                     bool seeks_dips) {
    const double reversal = moments[half.begin].travel;
    DeadTravel found;
    bool is_above = true; // as far as the walk down has come
    for (std::size_t i = half.peak + 1; i-- > half.begin;) {
        if (at_rest(moments[i])) break;
        // At the peak it must be told whether it is reached at all.
        if (i != half.peak && !found.for_good && std::abs(moments[i].travel - reversal) < at_least) break;
        if (is_above && ninety.is_surely_above(i, half.begin)) continue;
        const std::optional<double> here = ninety.excess(i);
        if (!here) return found.for_good ? found : DeadTravel{};
        if (*here >= 0.0) {
            is_above = true;
            continue;
        }
        if (i == half.peak) return {}; // still so at the peak
        if (is_above) {
            const std::optional<double> after = ninety.excess(i + 1);
            if (!after) return found;
            const double travel = travel_between(moments, reversal, i, *here, *after);
            if (!found.for_good)
                found.for_good = std::max(travel, at_least);
            else if (*found.for_good - travel > least_dip)
                found.but_for_dips = travel;
            if (!seeks_dips) return found;
        }
        is_above = false;
        if (const std::optional<double> share = ninety.share(i); !share || *share < shallow_dip) break;
    }
    if (!found.for_good) found.for_good = at_least;
    return found;
}

} // namespace

std::vector<HalfStroke> half_strokes(Moments moments, double sign) {
    std::vector<HalfStroke> strokes;
    std::size_t i = 0;
    while (i < moments.size()) {
        if (at_rest(moments[i]) || !(moments[i].speed * sign > 0.0)) {
            ++i;
            continue;
        }
        HalfStroke half{i, i, i};
        for (; i < moments.size() && moments[i].speed * sign > 0.0 && !at_rest(moments[i]); ++i) {
            half.end = i;
            if (moments[i].speed * sign > moments[half.peak].speed * sign) half.peak = i;
        }
        // The moments at rest belong to both strokes.
        if (half.begin > 0 && at_rest(moments[half.begin - 1])) --half.begin;
        if (half.end + 1 < moments.size() && at_rest(moments[half.end + 1])) ++half.end;
        strokes.push_back(half);
    }
    return strokes;
}

std::optional<HalfStroke> fastest(Moments moments, double sign) {
    std::optional<HalfStroke> best;
    double speed = 0.0;
    for (const HalfStroke& half : half_strokes(moments, sign)) {
        // Of strokes as fast as each other the last: the first is still one out of rest.
        constexpr double as_fast = 1.0 - 1e-6;
        const double peak = moments[half.peak].speed * sign;
        if (peak > as_fast * speed) {
            speed = std::max(speed, peak);
            best = half;
        }
    }
    return best;
}

DeadTravel dead_travel(const damper::Model& model, damper::RodInto rod_into, Moments moments,
                       const HalfStroke& half, double sign) {
    return walk_down({model, moments, sign, rod_into}, moments, half, 0.0, true);
}

std::optional<double> first_dead_travel(const damper::Model& model, damper::RodInto rod_into, Moments moments,
                                        const HalfStroke& half, double sign) {
    const double reversal = moments[half.begin].travel;
    const NinetyPercent ninety(model, moments, sign, rod_into);
    std::optional<double> before;
    for (std::size_t i = half.begin; i <= half.end; ++i) {
        const std::optional<double> here = ninety.excess(i);
        if (!here) return std::nullopt;
        if (*here >= 0.0) return before ? travel_between(moments, reversal, i - 1, *before, *here) : 0.0;
        before = here;
    }
    return std::nullopt;
}

ReversalsInto reversals_into(const damper::Model& model, damper::RodInto rod_into, Moments moments,
                             double sign) {
    const auto length = [&](const HalfStroke& half) {
        return std::abs(moments[half.end].travel - moments[half.begin].travel);
    };
    const auto moves = [&](double way) {
        constexpr double nothing = 1e-6; // what a rod turns by as it comes to stick [m]
        std::vector<HalfStroke> halves = half_strokes(moments, way);
        std::erase_if(halves, [&](const HalfStroke& half) { return length(half) < nothing; });
        return halves;
    };
    std::vector<HalfStroke> strokes;
    const std::vector<HalfStroke> back = moves(-sign);
    auto other = back.begin(); // the first that ends later
    std::size_t end = 0;       // of the stroke this way before
    for (const HalfStroke& half : moves(sign)) {
        bool reverses = false; // the rod came the other way since
        for (; other != back.end() && other->peak < half.peak; ++other)
            reverses = reverses || other->peak >= end;
        end = half.end;
        if (reverses && length(half) >= least_stroke && moments[half.peak].speed * sign >= least_stroke_speed)
            strokes.push_back(half);
    }
    const auto reach = [&](const HalfStroke& half) {
        return std::abs(moments[half.peak].travel - moments[half.begin].travel);
    };
    // None is dead for longer than to its peak: the longest first, and little is looked for in the others.
    std::stable_sort(strokes.begin(), strokes.end(),
                     [&](const HalfStroke& a, const HalfStroke& b) { return reach(a) > reach(b); });
    ReversalsInto result;
    result.count = static_cast<int>(strokes.size());
    for (const HalfStroke& half : strokes) {
        const double least = result.dead_travel.value_or(0.0);
        const std::optional<double> dead =
            walk_down({model, moments, sign, rod_into}, moments, half, least, false).for_good;
        if (!dead) {
            ++result.not_back;
        } else if (!result.dead_travel || *dead > least) {
            result.dead_travel = dead;
            result.time = moments[half.begin].time;
            result.travel = moments[half.begin].travel;
        }
    }
    return result;
}

} // namespace valve::study
