#include <valve/damper/lift_cache.hpp>
#include <valve/flow/opening.hpp>
#include <valve/stack/ring_curve.hpp>

#include <algorithm>
#include <utility>

namespace valve::damper {

LiftLaws LiftCache::laws(const SetUp& setup) {
    LiftLaws laws{m_options.theory, {}};
    for (const Place place : all_places)
        if (const std::optional<flow::Valve>& valve = setup.valves[place])
            laws.at_place.at(static_cast<std::size_t>(place)) = law(*valve);
    return laws;
}

Model LiftCache::model(const SetUp& setup) {
    return Model(setup, laws(setup));
}

const stack::LiftLaw& LiftCache::law(const flow::Valve& valve) {
    Entry& known = entry(valve.stack);
    if (!flow::opens_over_ports(valve)) return known.law;
    if (!known.over_ports) {
        stack::Path path(valve.stack, m_options.theory, plate::Grading{});
        known.over_ports = stack::open_arcs_law(path, known.curve);
    }
    return *known.over_ports;
}

LiftCache::Entry& LiftCache::entry(const stack::Stack& stack) {
    const auto found = std::find_if(m_entries.begin(), m_entries.end(),
                                    [&](const Entry& known) { return known.stack == stack; });
    if (found != m_entries.end()) return *found;
    stack::LiftCurve curve = stack::follow(stack, m_options);
    stack::LiftLaw law(curve);
    return m_entries.emplace_back(Entry{stack, std::move(curve), std::move(law), std::nullopt});
}

} // namespace valve::damper
