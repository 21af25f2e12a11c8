#include <valve/damper/port_control.hpp>
#include <valve/setup/shims.hpp>
#include <valve/study/lead.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::study {

namespace {

using damper::Place;
using Shims = std::vector<stack::Shim>;

constexpr const char* base_valve = "valves.base.compression";
constexpr const char* mid_valve = "valves.piston.compression";

/// How many shims like the face shim lie on the piston face, one upon the other.
std::ptrdiff_t face_shims(const Shims& shims) {
    return std::find_if(shims.begin(), shims.end(),
                        [&](const stack::Shim& shim) { return !(shim == shims.front()); }) -
           shims.begin();
}

/// Steps that there are; 0 where the number does not exist.
int most_steps(const damper::SetUp& setup, LeadBy by) {
    const std::optional<flow::Valve>& base = setup.valves[Place::base_compression];
    const std::optional<flow::Valve>& mid = setup.valves[Place::piston_compression];
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

const setup::Document& written(const setup::Reading& reading) {
    if (!reading.written) throw std::invalid_argument("lead: the reading does not know what was written");
    return *reading.written;
}

/// The key that holds the float of the mid-valve: its sleeve, where it is made by one.
std::string float_key(const setup::Document& document) {
    const std::string key = std::string(mid_valve) + ".float.";
    return key + (document.get(key + "sleeve") ? "sleeve" : "travel");
}

std::string key_of(const setup::Document& document, LeadBy by) {
    if (by == LeadBy::mid_valve_float) return float_key(document);
    return std::string(by == LeadBy::base_face_shims ? base_valve : mid_valve) + ".shims";
}

double float_of(const damper::SetUp& setup) {
    const auto& floating = setup.valves[Place::piston_compression].value().stack.floating;
    return floating ? floating->travel : 0.0;
}

/// The number that a change steps.
double number_of(const damper::SetUp& setup, LeadBy by) {
    if (by == LeadBy::mid_valve_float) return float_of(setup);
    const Place place = by == LeadBy::base_face_shims ? Place::base_compression : Place::piston_compression;
    return static_cast<double>(setup.valves[place].value().stack.shims.size());
}

damper::SetUp resolved(const setup::Document& document) {
    return setup::read(document).unit.value();
}

LeadChange find_change(const setup::Reading& reading, LeadBy by, double speed, double travel,
                       damper::LiftCache& lifts) {
    const damper::SetUp& as_is = *reading.unit;
    LeadChange change;
    change.by = by;
    change.most = most_steps(as_is, by);
    change.key = key_of(written(reading), by);
    change.from = change.to = number_of(as_is, by);
    double at_most = change.to;
    const auto leads = [&](int steps) {
        const damper::SetUp setup = resolved(stepped(reading, by, steps));
        const double number = number_of(setup, by);
        if (steps == change.most) at_most = number;
        const damper::SteadyPoint point = damper::steady_point(lifts.model(setup), speed, travel);
        const bool does = *point.balance_margin >= 0.0;
        if (does || steps == change.most) {
            change.margin = *point.balance_margin;
            change.damping_force = point.damping_force;
            change.to = number;
            if (by == LeadBy::mid_valve_shims) change.float_given_back = float_of(setup) - float_of(as_is);
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
        change.to = at_most;
    }
    return change;
}

} // namespace

bool margin_decides(const damper::SetUp& setup) {
    const bool has_base = setup.valves[Place::base_compression] || setup.valves[Place::base_refill];
    return has_base && (setup.cartridge.layout != damper::Layout::monotube ||
                        setup.reservoir.kind == damper::ReservoirKind::spring_piston);
}

setup::Document stepped(const setup::Reading& reading, LeadBy by, int steps) {
    const setup::Document& document = written(reading);
    if (steps < 0 || steps > most_steps(reading.unit.value(), by))
        throw std::invalid_argument("stepped: no such step");
    if (steps == 0) return document;
    if (by == LeadBy::base_face_shims) return setup::with_face_shims(document, base_valve, steps);
    if (by == LeadBy::mid_valve_shims) return setup::with_face_shims(document, mid_valve, -steps);
    const std::string key = float_key(document);
    return document.with(key, document.get(key).value().number.value() + steps * lead_float_step);
}

Lead find_lead(const setup::Reading& reading, double speed, double travel, damper::LiftCache& lifts) {
    if (!(speed > 0.0)) throw std::invalid_argument("find_lead: the speed must be one of compression");
    const damper::SetUp& setup = reading.unit.value();
    const damper::Model model = lifts.model(setup);
    const damper::SteadyPoint point = damper::steady_point(model, speed, travel);
    Lead lead{speed, travel, *point.balance_margin, point.cavitated.has_value(), point.damping_force, {}};
    if (const std::optional<flow::Through> mid = damper::through_valves(model, point).piston)
        lead.mid_valve_port_share = mid->port_share();
    if (lead.margin >= 0.0 || !margin_decides(setup)) return lead;
    for (const LeadBy by : {LeadBy::mid_valve_float, LeadBy::base_face_shims, LeadBy::mid_valve_shims})
        if (most_steps(setup, by) > 0) lead.changes.push_back(find_change(reading, by, speed, travel, lifts));
    return lead;
}

} // namespace valve::study
