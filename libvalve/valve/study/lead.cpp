#include <valve/study/lead.hpp>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <stdexcept>

namespace valve::study {

namespace {

using Shims = std::vector<stack::Shim>;

/// How many shims like the face shim lie on the piston face, one upon the other.
std::ptrdiff_t face_shims(const Shims& shims) {
    return std::find_if(shims.begin(), shims.end(),
                        [&](const stack::Shim& shim) { return !(shim == shims.front()); }) -
           shims.begin();
}

/// Steps that there are; 0 where the number does not exist.
int most_steps(const damper::SetUp& setup, LeadBy by) {
    const std::optional<flow::Valve>& base = setup.valves[damper::Place::base_compression];
    const std::optional<flow::Valve>& mid = setup.valves[damper::Place::piston_compression];
    if (!base || !mid) return 0;
    switch (by) {
    case LeadBy::mid_valve_float: {
        if (!mid->stack.floating) return 0;
        const double room = lead_float_limit - mid->stack.floating->travel;
        return std::max(0, static_cast<int>(std::floor(room / lead_float_step + 1e-6))); // to rounding
    }
    case LeadBy::base_face_shims:
        return base->stack.shims.empty() ? 0 : lead_shim_limit;
    case LeadBy::mid_valve_shims:
        return mid->stack.shims.empty() ? 0 : static_cast<int>(face_shims(mid->stack.shims)) - 1;
    }
    return 0;
}

LeadChange find_change(const damper::SetUp& setup, LeadBy by, double speed, double travel,
                       damper::LiftCache& lifts) {
    LeadChange change;
    change.by = by;
    change.most = most_steps(setup, by);
    const auto leads = [&](int steps) {
        const damper::SteadyPoint point =
            damper::steady_point(lifts.model(stepped(setup, by, steps)), speed, travel);
        const bool does = *point.balance_margin >= 0.0;
        if (does || steps == change.most) {
            change.margin = *point.balance_margin;
            change.damping_force = point.damping_force;
        }
        return does;
    };
    try {
        if (!leads(change.most)) return change;
        int falls_short = 0;
        int enough = change.most;
        while (enough - falls_short > 1) {
            const int middle = (falls_short + enough) / 2;
            (leads(middle) ? enough : falls_short) = middle;
        }
        change.steps = enough;
    } catch (const Error& error) {
        change.error = error.what();
    }
    return change;
}

} // namespace

bool margin_decides(const damper::SetUp& setup) {
    return setup.cartridge.layout != damper::Layout::monotube ||
           setup.reservoir.kind == damper::ReservoirKind::spring_piston;
}

damper::SetUp stepped(damper::SetUp setup, LeadBy by, int steps) {
    if (steps < 0 || steps > most_steps(setup, by)) throw std::invalid_argument("stepped: no such step");
    if (steps == 0) return setup;
    switch (by) {
    case LeadBy::mid_valve_float:
        setup.valves[damper::Place::piston_compression]->stack.floating->travel += steps * lead_float_step;
        break;
    case LeadBy::base_face_shims: {
        Shims& shims = setup.valves[damper::Place::base_compression]->stack.shims;
        const stack::Shim face = shims.front();
        shims.insert(shims.begin(), static_cast<std::size_t>(steps), face);
        break;
    }
    case LeadBy::mid_valve_shims: {
        Shims& shims = setup.valves[damper::Place::piston_compression]->stack.shims;
        shims.erase(shims.begin(), std::next(shims.begin(), steps));
        break;
    }
    }
    return setup;
}

Lead find_lead(const damper::SetUp& setup, double speed, double travel, damper::LiftCache& lifts) {
    if (!(speed > 0.0)) throw std::invalid_argument("find_lead: the speed must be one of compression");
    const damper::SteadyPoint point = damper::steady_point(lifts.model(setup), speed, travel);
    Lead lead{speed, travel, *point.balance_margin, point.cavitated.has_value(), point.damping_force, {}};
    if (lead.margin >= 0.0 || !margin_decides(setup)) return lead;
    for (const LeadBy by : {LeadBy::mid_valve_float, LeadBy::base_face_shims, LeadBy::mid_valve_shims})
        if (most_steps(setup, by) > 0) lead.changes.push_back(find_change(setup, by, speed, travel, lifts));
    return lead;
}

} // namespace valve::study
