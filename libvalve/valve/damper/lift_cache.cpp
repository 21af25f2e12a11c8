#include <valve/damper/lift_cache.hpp>

#include <algorithm>
#include <utility>

namespace valve::damper {

LiftLaws LiftCache::laws(const SetUp& setup) {
    LiftLaws laws{m_options.theory, {}};
    for (const Place place : all_places)
        if (const std::optional<flow::Valve>& valve = setup.valves[place])
            laws.at_place.at(static_cast<std::size_t>(place)) = entry(valve->stack).law;
    return laws;
}

Model LiftCache::model(const SetUp& setup) {
    return Model(setup, laws(setup));
}

const LiftCache::Entry& LiftCache::entry(const stack::Stack& stack) {
    const auto found = std::find_if(m_entries.begin(), m_entries.end(),
                                    [&](const Entry& known) { return known.stack == stack; });
    if (found != m_entries.end()) return *found;
    stack::LiftCurve curve = stack::follow(stack, m_options);
    stack::LiftLaw law(curve);
    return m_entries.emplace_back(Entry{stack, std::move(curve), std::move(law)});
}

} // namespace valve::damper
