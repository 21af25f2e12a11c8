#include <valve/core/findings.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/damper/model.hpp>
#include <valve/damper/support_check.hpp>
#include <valve/flow/leak.hpp>

#include <algorithm>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace valve::damper {

namespace {

const SetUp& without_errors(const SetUp& setup) {
    refuse_errors<InputError>(check_parts(setup), "");
    return setup;
}

/// Into which the rod of a closed cartridge can leave.
const Leg& leg_around(const SetUp& setup) {
    if (setup.cartridge.layout != Layout::closed_cartridge)
        throw InputError("only the rod of a closed cartridge can leave into the air of its leg");
    if (!setup.support || !setup.support->leg)
        throw InputError("support.leg is needed for the air that the rod leaves into");
    return *setup.support->leg;
}

std::optional<flow::ValveLaw> valve_law(const SetUp& setup, const LiftLaws& laws, Place place,
                                        const flow::OilState& oil) {
    const std::optional<flow::Valve>& valve = setup.valves[place];
    if (!valve) return std::nullopt;
    const std::optional<stack::LiftLaw>& lift = laws.at_place.at(static_cast<std::size_t>(place));
    if (!lift) throw std::invalid_argument("Model: no lift law for " + std::string(name(place)));
    return flow::ValveLaw(*valve, *lift, oil, laws.bent.at(static_cast<std::size_t>(place)));
}

/// Bleeds of both valves of a piston or base that let oil pass the way the valve at `opening` opens.
std::vector<flow::Restriction> bleeds(const SetUp& setup, const std::array<Place, 2>& places, Place opening,
                                      const flow::OilState& oil) {
    std::vector<flow::Restriction> result;
    for (const Place place : places) {
        const std::optional<flow::Valve>& valve = setup.valves[place];
        if (!valve || !valve->bleed) continue;
        if (place != opening && valve->bleed_ways == flow::BleedWays::one) continue;
        if (const std::optional<flow::Opening> passage = flow::opening(*valve->bleed))
            result.emplace_back(*passage, valve->discharge.bleed, valve->discharge.bleed_transition, oil);
    }
    return result;
}

double ring_leak(const Cartridge& cartridge, const flow::OilState& oil) {
    if (!cartridge.ring_leak) return 0.0;
    const RingLeak& ring = *cartridge.ring_leak;
    return flow::leak_conductance({.diameter = cartridge.bore,
                                   .gap = ring.gap,
                                   .length = ring.length,
                                   .eccentricity = ring.eccentricity},
                                  oil.dynamic_viscosity());
}

/// The link past the valves at `places`, the first of them open in compression, the second in rebound.
flow::Link link(const SetUp& setup, const LiftLaws& laws, const std::array<Place, 2>& places, double leak,
                const flow::OilState& oil) {
    const auto parts = [&](Place place) {
        return flow::LinkParts{std::string(name(place)), valve_law(setup, laws, place, oil),
                               bleeds(setup, places, place, oil)};
    };
    return flow::Link(parts(places[0]), parts(places[1]), leak);
}

Network network(const SetUp& setup, const LiftLaws& laws, const flow::OilState& oil) {
    constexpr std::array<Place, 2> piston_places{Place::piston_compression, Place::piston_rebound};
    constexpr std::array<Place, 2> base_places{Place::base_compression, Place::base_refill};
    std::optional<flow::Link> base;
    if (setup.valves[Place::base_compression] || setup.valves[Place::base_refill])
        base = link(setup, laws, base_places, 0.0, oil);
    return {setup.cartridge, link(setup, laws, piston_places, ring_leak(setup.cartridge, oil), oil),
            std::move(base)};
}

} // namespace

Model::Model(const SetUp& setup, const LiftLaws& laws)
    : m_setup(without_errors(setup)), m_theory(laws.theory),
      m_bends(
          std::any_of(laws.bent.begin(), laws.bent.end(), [](const auto& law) { return law != nullptr; })),
      m_oil(flow::state_of(setup.oil)), m_reservoir(setup), m_network(damper::network(setup, laws, m_oil)) {
    if (setup.cartridge.end_of_stroke) m_end_cups[0].emplace(*setup.cartridge.end_of_stroke, 0.0, m_oil);
    if (setup.cartridge.top_out) m_end_cups[1].emplace(*setup.cartridge.top_out, setup.cartridge.rod, m_oil);
}

const EndCupLaw* Model::end_cup(Stroke stroke) const {
    const std::optional<EndCupLaw>& cup = m_end_cups.at(static_cast<std::size_t>(stroke));
    return cup ? &*cup : nullptr;
}

double Model::end_depth(Stroke stroke, double travel) const {
    const double left = stroke == Stroke::compression ? m_setup.cartridge.travel - travel : travel;
    return m_end_cups.at(static_cast<std::size_t>(stroke)).value().length() - left;
}

double Model::external_pressure(double travel, RodInto rod_into) const {
    const Cartridge& cartridge = m_setup.cartridge;
    if (rod_into == RodInto::atmosphere)
        return cartridge.layout == Layout::open_cartridge ? m_reservoir.pressure(travel, rod_area() * travel)
                                                          : p_atm;
    return leg_pressure(leg_around(m_setup), cartridge, travel);
}

double Model::external_work(double travel, RodInto rod_into) const {
    const Cartridge& cartridge = m_setup.cartridge;
    if (rod_into == RodInto::leg) return leg_work(leg_around(m_setup), cartridge, travel);
    if (cartridge.layout != Layout::open_cartridge) return p_atm * travel;
    return leg_work(m_setup.support.value().leg.value(), cartridge, travel);
}

} // namespace valve::damper
