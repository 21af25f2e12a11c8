#include <valve/damper/lift_cache.hpp>
#include <valve/flow/opening.hpp>
#include <valve/stack/ring_curve.hpp>

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <utility>

namespace valve::damper {

LiftLaws LiftCache::laws(const SetUp& setup) {
    std::vector<stack::Stack> stacks;
    for (const Place place : all_places)
        if (const std::optional<flow::Valve>& valve = setup.valves[place]) stacks.push_back(valve->stack);
    solve(stacks);

    LiftLaws laws{m_options.theory, {}};
    for (const Place place : all_places)
        if (const std::optional<flow::Valve>& valve = setup.valves[place])
            laws.at_place.at(static_cast<std::size_t>(place)) = law(*valve);
    return laws;
}

Model LiftCache::model(const SetUp& setup) {
    return Model(setup, laws(setup));
}

const std::optional<stack::Waves>& LiftCache::waves(const stack::Stack& stack) {
    Entry& known = entry(stack);
    if (!known.waves) {
        known.waves.emplace(); // a rigid disc has none
        if (!stack.disc) {
            stack::Path path(stack, m_options.theory, plate::Grading{});
            *known.waves = stack::first_waves(path, known.curve);
        }
    }
    return *known.waves;
}

const stack::LiftLaw& LiftCache::law(const flow::Valve& valve) {
    return flow::opens_over_ports(valve) ? arcs_law(valve).law : entry(valve.stack).law;
}

std::optional<double> LiftCache::windows_hold_until(const flow::Valve& valve) {
    if (!flow::opens_over_ports(valve)) return std::nullopt;
    return arcs_law(valve).holds_until;
}

const stack::ArcsLaw& LiftCache::arcs_law(const flow::Valve& valve) {
    Entry& known = entry(valve.stack);
    if (!known.over_ports) {
        stack::Path path(valve.stack, m_options.theory, plate::Grading{});
        known.over_ports = stack::open_arcs_law(path, known.curve);
    }
    return *known.over_ports;
}

LiftCache::Entry* LiftCache::find(const stack::Stack& stack) {
    const auto found = std::find_if(m_entries.begin(), m_entries.end(),
                                    [&](const Entry& known) { return known.stack == stack; });
    return found == m_entries.end() ? nullptr : &*found;
}

LiftCache::Entry& LiftCache::entry(const stack::Stack& stack) {
    solve({stack});
    return *find(stack);
}

void LiftCache::solve(const std::vector<stack::Stack>& stacks) {
    std::vector<const stack::Stack*> fresh;
    for (const stack::Stack& stack : stacks)
        if (find(stack) == nullptr &&
            std::none_of(fresh.begin(), fresh.end(),
                         [&](const stack::Stack* other) { return *other == stack; }))
            fresh.push_back(&stack);

    std::vector<std::optional<Entry>> solved(fresh.size());
    std::vector<std::exception_ptr> failed(fresh.size());
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
        for (std::size_t i = next++; i < fresh.size(); i = next++) {
            try {
                stack::LiftCurve curve = stack::follow(*fresh[i], m_options);
                stack::LiftLaw law(curve);
                solved[i] = Entry{*fresh[i], std::move(curve), std::move(law)};
            } catch (...) {
                failed[i] = std::current_exception();
            }
        }
    };
    {
        std::vector<std::jthread> helpers; // joined at the end of this block
        const std::size_t hands = std::min<std::size_t>(fresh.size(), std::thread::hardware_concurrency());
        for (std::size_t hand = 1; hand < hands; ++hand)
            helpers.emplace_back(work);
        work();
    }
    for (std::size_t i = 0; i < fresh.size(); ++i) {
        if (failed[i]) std::rethrow_exception(failed[i]);
        m_entries.push_back(std::move(*solved[i]));
    }
}

} // namespace valve::damper
