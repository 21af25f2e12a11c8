#include <valve/core/detail/infinity.hpp>
#include <valve/core/findings.hpp>
#include <valve/core/root.hpp>
#include <valve/damper/check.hpp>
#include <valve/damper/choose.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace valve::damper {

namespace {

/// A travel and what one leg's coil has to give there.
struct Demand {
    double travel = 0.0; // [m]
    double force = 0.0;  // [N]
};

constexpr double least_air = 1e-6; // left in the leg at full travel [m³]

/// The oil that leaves just the least air at full travel [m³].
double most_oil(const Leg& leg, const Cartridge& cartridge) {
    return leg.chamber_volume - air_area(leg, cartridge) * cartridge.travel - least_air;
}

/// Chooses within limits; keeps the set-up that it works on.
class Choosing {
public:
    Choosing(const SetUp& setup, const SupportGoal& goal, const Buildable& limits)
        : m_setup(setup), m_goal(goal), m_limits(limits), m_load(*setup.support->load),
          m_given(*setup.support->spring), m_legs(setup.support->legs) {
        if (m_given.second) m_ratio = m_given.second->rate / m_given.rate;
    }

    Choice choice() {
        Choice made;
        if (m_goal.sag) made.chosen.push_back(Chosen::rate);
        if (sets_preload()) made.chosen.push_back(Chosen::preload);
        if (sets_oil()) {
            made.chosen.push_back(Chosen::oil);
            set_oil();
        } else {
            set_spring();
        }
        made.setup = m_setup;
        made.at_limit = m_at_limit;
        const SupportLaw law(m_setup);
        made.reached = {sag(law, m_load, true).rest.travel, sag(law, m_load, false).rest.travel, end_force()};
        return made;
    }

private:
    bool has_leg() const { return m_setup.support->leg.has_value(); }
    bool sets_oil() const { return m_goal.end_force && has_leg(); }
    bool sets_preload() const { return m_goal.free_sag || (m_goal.end_force && !has_leg()); }

    double end_force() const { return SupportLaw(m_setup).at(m_setup.cartridge.travel).force; }

    /// What the coil of one leg has to give for the weight to rest at `travel`.
    Demand demand_of_weight(bool with_rider, double travel) const {
        return demand(travel, force_of(m_load, with_rider, travel));
    }

    /// What the coil of one leg has to give at `travel` for `force` of all legs.
    Demand demand(double travel, double force) const {
        const SupportPoint point = SupportLaw(m_setup).at(travel);
        return {travel, (force - (point.force - point.spring)) / m_legs};
    }

    /// Force of the coil by its rate and without preload [m].
    double shape(double travel) const {
        return travel +
               (m_given.second ? (m_ratio - 1.0) * std::max(0.0, travel - m_given.second->from) : 0.0);
    }

    double within(Bounds bounds, double value, Chosen what) {
        const double nearest = std::clamp(value, bounds.low, bounds.high);
        if (nearest != value) m_at_limit.push_back(what);
        return nearest;
    }

    /// The demand that sets the preload.
    Demand other_demand() const {
        return m_goal.free_sag ? demand_of_weight(false, *m_goal.free_sag)
                               : demand(m_setup.cartridge.travel, *m_goal.end_force);
    }

    /// Rate and preload for the sag, and for the second demand where the preload is free.
    void set_spring() {
        m_at_limit.clear();
        if (!m_goal.sag) {
            if (!sets_preload()) return;
            const Demand other = other_demand();
            m_setup.support->spring->preload =
                within(m_limits.preload, other.force / m_given.rate - shape(other.travel), Chosen::preload);
            return;
        }
        const Demand with_rider = demand_of_weight(true, *m_goal.sag);
        const double at_sag = shape(with_rider.travel);
        double preload = m_given.preload;
        if (sets_preload()) {
            const Demand other = other_demand();
            const double ideal = (with_rider.force - other.force) / (at_sag - shape(other.travel));
            // A rate that would have to fall with travel asks for more preload than any.
            preload = within(m_limits.preload, ideal > 0.0 ? with_rider.force / ideal - at_sag : infinity,
                             Chosen::preload);
        }
        double rate = with_rider.force / (preload + at_sag);
        const double nearest = within(m_limits.rate, rate, Chosen::rate);
        if (nearest != rate && sets_preload()) {
            std::erase(m_at_limit, Chosen::preload); // it makes up for the rate, as far as it can
            preload = within(m_limits.preload, with_rider.force / nearest - at_sag, Chosen::preload);
        }
        rate = nearest;
        MainSpring& spring = *m_setup.support->spring;
        spring.rate = rate;
        spring.preload = preload;
        if (spring.second) spring.second->rate = m_ratio * rate;
    }

    /// Oil for the force at the end; the spring follows, since its sag is held up by the air as well.
    void set_oil() {
        const auto missing = [&](double oil) {
            m_setup.support->leg->oil_volume = oil;
            set_spring();
            return ValueSlope{end_force() - *m_goal.end_force, 0.0}; // without slope: by bisection
        };
        const double low = m_limits.oil.low;
        const double high = std::min(m_limits.oil.high, most_oil(*m_setup.support->leg, m_setup.cartridge));
        if (low > high)
            throw InputError(fmt::format("{:.4g} ml of oil leave no air at full travel; {:.4g} ml would",
                                         low * 1e6, high * 1e6));
        if (missing(low).value < 0.0 && missing(high).value > 0.0) {
            const Root root = find_root(missing, low, high, 0.5 * (low + high));
            if (!root.converged) throw SolveError("no oil volume was found for the force at the end");
            missing(root.x);
        } else {
            missing(missing(low).value >= 0.0 ? low : high);
            m_at_limit.push_back(Chosen::oil);
        }
    }

    SetUp m_setup;
    SupportGoal m_goal;
    Buildable m_limits;
    Load m_load;
    MainSpring m_given;
    double m_legs = 1.0;
    double m_ratio = 1.0; // of the second rate to the first
    std::vector<Chosen> m_at_limit;
};

void require_spring(const SetUp& setup) {
    if (!setup.support || !setup.support->spring)
        throw InputError("support.spring: missing: there is no coil spring to choose");
}

void require_goal_that_can_be_meant(const SetUp& setup, const SupportGoal& goal) {
    require_spring(setup);
    const Support& support = *setup.support;
    if (!support.load)
        throw InputError("support.load: missing: a spring is chosen for the masses that it carries");
    if (!support.leg && goal.free_sag && goal.end_force)
        throw InputError("without leg air (support.leg) there are only rate and preload to choose: ask for "
                         "the free sag or for the force at the end, not for both");
    const double travel = setup.cartridge.travel;
    const auto in_travel = [&](const char* what, double sag) {
        if (!(sag > 0.0 && sag < travel))
            throw InputError(fmt::format("a {} of {:.4g} mm lies outside the travel of {:.4g} mm", what,
                                         sag * 1e3, travel * 1e3));
    };
    if (!goal.sag && !goal.free_sag && !goal.end_force)
        throw InputError("nothing is asked: give a sag, a free sag or a force at full travel");
    if (goal.sag) in_travel("sag", *goal.sag);
    if (!goal.free_sag) return;
    in_travel("free sag", *goal.free_sag);
    if (goal.sag && *goal.free_sag >= *goal.sag)
        throw InputError("the free sag, without the rider, must be less than the sag with the rider");
}

} // namespace

Buildable buildable(const SetUp& setup) {
    require_spring(setup);
    const double rate = setup.support->spring->rate;
    Buildable limits{{0.5 * rate, 2.0 * rate}, {0.0, 20e-3}, {least_oil, least_oil}};
    if (setup.support->leg) limits.oil.high = most_oil(*setup.support->leg, setup.cartridge);
    return limits;
}

Choice choose(const SetUp& setup, const SupportGoal& goal, const Buildable& limits) {
    require_goal_that_can_be_meant(setup, goal);
    refuse_errors<InputError>(check(goal), "");
    refuse_errors<InputError>(check(limits), "");
    return Choosing(setup, goal, limits).choice();
}

} // namespace valve::damper
