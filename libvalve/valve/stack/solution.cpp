#include <valve/core/detail/mutex.hpp>
#include <valve/core/findings.hpp>
#include <valve/stack/check.hpp>
#include <valve/stack/detail/follow.hpp>
#include <valve/stack/detail/friction.hpp>
#include <valve/stack/detail/modes.hpp>
#include <valve/stack/detail/motion.hpp>
#include <valve/stack/detail/once.hpp>
#include <valve/stack/detail/rigid_disc.hpp>
#include <valve/stack/detail/ring_curve.hpp>
#include <valve/stack/detail/ring_law.hpp>
#include <valve/stack/detail/ring_motion.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/detail/shapes.hpp>
#include <valve/stack/detail/waves.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace valve::stack {
namespace {

void require_pressure(double pressure) {
    if (!(pressure >= 0.0) || !std::isfinite(pressure))
        throw std::invalid_argument(
            fmt::format("stack::Solution: {} Pa is no pressure from zero up", pressure));
}

} // namespace

/// The answers so far, and what they come from. Its functions expect the lock to be held.
class Solution::Answers {
public:
    Answers(const Stack& stack, const FollowOptions& options) : m_stack(stack), m_options(options) {}

    Mutex& mutex() { return m_mutex; }
    const Stack& stack() const { return m_stack; }
    const FollowOptions& options() const { return m_options; }
    bool rigid() const { return m_stack.disc.has_value(); }

    const Followed& followed() {
        return m_followed.get([this] {
            return rigid() ? Followed{follow_disc(m_stack, m_options), {}} : follow_shims();
        });
    }
    const LiftCurve& curve() { return followed().curve; }
    const LiftLaw& law() {
        return m_law.get([this] { return LiftLaw(curve()); });
    }

    const Motion& motion() {
        return m_motion.get([this] {
            return rigid() ? motion_of_disc(m_stack, curve(), law())
                           : motion_of(settled_path(), followed(), law());
        });
    }

    const RingCurve& ring() {
        require_windows();
        return m_ring.get([this] {
            return rigid() ? RingCurve{curve().crack_pressure, std::nullopt, std::nullopt}
                           : follow_ring(settled_path(), curve());
        });
    }
    const ArcsLaw& law_over_ports() {
        require_windows();
        return m_arcs.get([this] {
            return rigid() ? ArcsLaw{law(), std::nullopt} : open_arcs_law(settled_path(), curve(), ring());
        });
    }
    std::optional<RingLift> ring_lift(double pressure) {
        const std::optional<double> end = ring().holds_until;
        if (end && pressure > *end) return std::nullopt;
        if (!rigid()) return ring_lift_at(settled_path(), pressure);
        const double lift = at(pressure).seat_lift; // a rigid disc lifts evenly
        return RingLift{
            .pressure = pressure, .mean = lift, .mid_port = lift, .mid_land = lift, .open_arcs = lift};
    }

    LiftPoint at(double pressure) {
        if (rigid()) return disc_at(m_stack, pressure);
        Path& path = settled_path();
        if (m_followed.known()) {
            const std::vector<LiftPoint>& points = curve().points;
            const auto point =
                std::lower_bound(points.begin(), points.end(), pressure,
                                 [](const LiftPoint& p, double value) { return p.pressure < value; });
            if (point != points.end() && point->pressure == pressure) return *point;
        }
        const std::optional<LiftPoint> found = path.point(pressure);
        if (!found) throw SolveError(path.refusal());
        return *found;
    }

    const State& state(double pressure) {
        Path& path = settled_path();
        const State* found = path.at(pressure);
        if (found == nullptr) throw SolveError(path.refusal());
        return *found;
    }

    FrictionEstimate friction(double pressure, double coefficient) {
        const State& found = state(pressure); // first: it makes the path
        return friction_of(*m_path, m_path->with_own_rates(found), coefficient);
    }

    std::optional<Waves> waves_up_to(double pressure) {
        if (rigid()) return std::nullopt;
        if (!m_waves) m_waves.emplace(settled_path(), curve());
        return m_waves->up_to(pressure);
    }

    std::optional<UnevenLift> uneven(double pressure) {
        RingPath* ring = ring_path(pressure);
        if (ring == nullptr || !ring->is_uneven(pressure)) return std::nullopt;
        const std::optional<UnevenLift> lift = ring->at(pressure);
        if (!lift) throw SolveError(ring->refusal());
        return lift;
    }
    std::optional<UnevenCrack> uneven_crack() {
        const double end = curve().points.back().pressure;
        RingPath* ring = m_stack.windows > 0 ? ring_path(end) : nullptr;
        if (ring == nullptr) return std::nullopt;
        if (!m_uneven_crack) m_uneven_crack = ring->cracks(end);
        return m_uneven_crack;
    }

    /// The law of the shape that is not round; null where there is none below `pressure`.
    RingLaw* ring_law(double pressure) {
        if (!m_ring_law && !m_no_ring_law) make_ring_law(pressure);
        return m_ring_law && m_ring_law->begin().pressure < pressure ? &*m_ring_law : nullptr;
    }
    RingLaw& required_ring_law(double pressure) {
        ring_law(pressure);
        if (!m_ring_law || pressure < m_ring_law->begin().pressure)
            throw std::invalid_argument(
                fmt::format("stack::Solution: there is no uneven flow law at {} Pa", pressure));
        return *m_ring_law;
    }

    std::vector<MotionPoint> uneven_motion(double pressure, bool over_ports) {
        RingLaw& law = required_ring_law(pressure);
        if (!m_ring_motion) m_ring_motion.emplace(*m_ring_path, law);
        return m_ring_motion->from(pressure, over_ports);
    }

    StressLimits limits(double pressure) {
        StressLimits limits{curve().set, curve().fatigue};
        const RingLaw* ring = ring_law(pressure);
        if (ring == nullptr) return limits;
        const double from = m_stack.windows > 0 ? 0.0 : ring->begin().pressure;
        const LiftPoint begin = at(from);
        const auto bend = [&](std::optional<StressLimit>& limit, std::optional<RingPath::Passing>& known,
                              const std::optional<StressShare>& share_at_begin,
                              std::optional<double> (*share)(double, const plate::Material&)) {
            if (!share_at_begin || share_at_begin->share > 1.0) return;
            if (!known) known = RingPath::Passing{{from, share_at_begin->share - 1.0}, std::nullopt};
            limit = m_ring_path->passes(*known, pressure, share);
        };
        bend(limits.set, m_set, begin.of_yield, yield_share);
        bend(limits.fatigue, m_fatigue, begin.of_fatigue, fatigue_share);
        return limits;
    }

    /// The path without what it came to along the curve: of the unbent stack.
    const Path& path() {
        if (!m_path) m_path = std::make_unique<Path>(m_stack, m_options.theory, plate::Grading{});
        return *m_path;
    }

    int factorisations() const { return m_path ? m_path->factorisations() : 0; }

    const Solution& linear(const Solution& self) {
        if (m_options.theory == Theory::linear) return self;
        return *m_linear.get([this] {
            const FollowOptions options{Theory::linear, curve().points.back().pressure};
            return std::make_unique<const Solution>(m_stack, options);
        });
    }
    const LinearError& linear_error(const Solution& self) {
        return m_linear_error.get([&] {
            const bool same = m_options.theory == Theory::linear;
            return stack::linear_error(curve(), same ? curve() : linear(self).curve());
        });
    }

private:
    void require_windows() const {
        if (m_stack.windows < 1) throw std::invalid_argument("stack::Solution: there are no windows");
    }

    /// The path after the curve, from whose states all others are found; where it has no curve, from rest.
    Path& settled_path() {
        try {
            followed();
        } catch (const SolveError&) {
        }
        m_path->forget_asked();
        return *m_path;
    }

    /// The path of shapes that are not round; null where the stack is taken for round up to `pressure`.
    RingPath* ring_path(double pressure) {
        if (is_taken_for_round(m_stack, m_options.theory)) return nullptr;
        if (m_ring_path) return &*m_ring_path;
        std::optional<Waves> waves;
        if (m_stack.windows < 1) {
            waves = waves_up_to(pressure);
            if (!waves) return nullptr;
        }
        return &m_ring_path.emplace(m_stack, waves);
    }

    void make_ring_law(double pressure) {
        RingPath* ring = ring_path(pressure);
        if (ring == nullptr) return;
        std::optional<RingLaw::Begin> begin;
        if (m_stack.windows > 0) {
            if (const std::optional<double> open = ring->opens(curve().points.back().pressure))
                begin = RingLaw::Begin{*open, 0.0};
        } else {
            const Growth& growth = ring->growth();
            const double lift = law().at(growth.pressure).lift;
            if (growth.pressure < law().max_pressure())
                begin = RingLaw::Begin{growth.pressure, lift, lift - growth.lift.value_or(lift)};
        }
        m_no_ring_law = !begin || !ring->reaches(0);
        if (!m_no_ring_law) m_ring_law.emplace(*ring, *begin, m_options.max_pressure);
    }

    Followed follow_shims() {
        path();
        std::vector<double> kept;
        try {
            Followed result = follow(*m_path, m_options.max_pressure);
            for (const LiftPoint& point : result.curve.points)
                kept.push_back(point.pressure);
            for (const Followed::Sides& sides : result.sides)
                kept.insert(kept.end(), {sides.before, sides.after});
            std::sort(kept.begin(), kept.end());
            m_path->settle(kept);
            return result;
        } catch (const SolveError&) {
            m_path->settle({});
            throw;
        }
    }

    const Stack m_stack;
    const FollowOptions m_options;
    Mutex m_mutex;
    std::unique_ptr<Path> m_path;
    Once<Followed> m_followed;
    Once<LiftLaw> m_law;
    Once<Motion> m_motion;
    Once<RingCurve> m_ring;
    Once<ArcsLaw> m_arcs;
    std::optional<WaveSearch> m_waves;
    std::optional<RingPath> m_ring_path;
    std::optional<UnevenCrack> m_uneven_crack;
    std::optional<RingLaw> m_ring_law;
    std::optional<RingPath::Passing> m_set; // as bent
    std::optional<RingPath::Passing> m_fatigue;
    std::optional<RingMotion> m_ring_motion;
    bool m_no_ring_law = false; // for no shape that is not round was found
    Once<std::unique_ptr<const Solution>> m_linear;
    Once<LinearError> m_linear_error;
};

Solution::Solution(const Stack& stack, const FollowOptions& options) {
    refuse_errors<std::invalid_argument>(check(stack), "stack::Solution: ");
    refuse_errors<std::invalid_argument>(check(options), "stack::Solution: ");
    m_answers = std::make_unique<Answers>(stack, options);
}

Solution::~Solution() = default;

const Stack& Solution::stack() const {
    return m_answers->stack();
}

const FollowOptions& Solution::options() const {
    return m_answers->options();
}

const LiftCurve& Solution::curve() const {
    const Lock lock(m_answers->mutex());
    return m_answers->curve();
}

const LiftLaw& Solution::law() const {
    const Lock lock(m_answers->mutex());
    return m_answers->law();
}

const Motion& Solution::motion() const {
    if (stack().disc && !(stack().disc->mass > 0.0))
        throw std::invalid_argument("stack::Solution: the disc has no mass");
    const Lock lock(m_answers->mutex());
    return m_answers->motion();
}

LiftPoint Solution::at(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->at(pressure);
}

StackShape Solution::shape(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    StackShape shape{m_answers->at(pressure), {}};
    if (!m_answers->rigid()) shape.shims = shapes_of(m_answers->path().problem(), m_answers->state(pressure));
    return shape;
}

FrictionEstimate Solution::friction(double pressure, double coefficient) const {
    require_pressure(pressure);
    if (!(pressure > 0.0) || !(coefficient >= 0.0) || !std::isfinite(coefficient))
        throw std::invalid_argument(fmt::format(
            "stack::Solution: friction needs a pressure above zero and a coefficient from zero up, not {} Pa "
            "and {}",
            pressure, coefficient));
    const Lock lock(m_answers->mutex());
    if (m_answers->rigid()) return {pressure, 0.0, 0.0};
    return m_answers->friction(pressure, coefficient);
}

std::optional<Waves> Solution::waves_up_to(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->waves_up_to(pressure);
}

const RingCurve& Solution::ring() const {
    const Lock lock(m_answers->mutex());
    return m_answers->ring();
}

const ArcsLaw& Solution::law_over_ports() const {
    const Lock lock(m_answers->mutex());
    return m_answers->law_over_ports();
}

std::optional<RingLift> Solution::ring_lift(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->ring_lift(pressure);
}

std::optional<UnevenLift> Solution::uneven(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->uneven(pressure);
}

std::optional<UnevenCrack> Solution::uneven_crack() const {
    const Lock lock(m_answers->mutex());
    return m_answers->uneven_crack();
}

std::optional<double> Solution::uneven_from(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    const RingLaw* law = m_answers->ring_law(pressure);
    return law == nullptr ? std::nullopt : std::optional<double>(law->begin().pressure);
}

UnevenLawValue Solution::uneven_law(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->required_ring_law(pressure).at(pressure);
}

double Solution::uneven_next(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->required_ring_law(pressure).next(pressure);
}

double Solution::uneven_end() const {
    const Lock lock(m_answers->mutex());
    return m_answers->required_ring_law(m_answers->curve().points.back().pressure).end();
}

std::vector<MotionPoint> Solution::uneven_motion(double pressure, bool over_ports) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->uneven_motion(pressure, over_ports);
}

StressLimits Solution::limits(double pressure) const {
    require_pressure(pressure);
    const Lock lock(m_answers->mutex());
    return m_answers->limits(pressure);
}

Modes Solution::modes(const ModesOptions& options) const {
    refuse_errors<std::invalid_argument>(check(options), "stack::Solution: ");
    if (stack().disc && !(stack().disc->mass > 0.0))
        throw std::invalid_argument("stack::Solution: the disc has no mass");
    const Lock lock(m_answers->mutex());
    if (m_answers->rigid()) return modes_of_disc(stack(), options);
    const State* state = options.pressure ? &m_answers->state(*options.pressure) : nullptr;
    return modes_of_shims(m_answers->path().problem(), state, options);
}

const Solution& Solution::linear() const {
    const Lock lock(m_answers->mutex());
    return m_answers->linear(*this);
}

const LinearError& Solution::linear_error() const {
    const Lock lock(m_answers->mutex());
    return m_answers->linear_error(*this);
}

int Solution::factorisations() const {
    const Lock lock(m_answers->mutex());
    return m_answers->factorisations();
}

} // namespace valve::stack
