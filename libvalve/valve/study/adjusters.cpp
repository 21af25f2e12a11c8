#include <valve/study/adjusters.hpp>
#include <valve/study/reading.hpp>

#include <variant>

namespace valve::study {

std::vector<Adjuster> adjusters(const setup::Reading& reading) {
    std::vector<Adjuster> list;
    for (const auto& [name, valve] : valves_of(reading)) {
        const std::string key = (reading.unit ? "valves." : "") + name;
        const flow::Needle* needle = valve->bleed ? std::get_if<flow::Needle>(&*valve->bleed) : nullptr;
        if (needle != nullptr)
            list.push_back({name, key + ".bleed.needle.clicks", needle->clicks, needle->range, "clicks"});
        if (valve->stack.floating && valve->stack.floating->adjuster) {
            const stack::SpringAdjuster& spring = *valve->stack.floating->adjuster;
            list.push_back({needle != nullptr ? name + ".float" : name, key + ".float.adjuster.turns",
                            spring.turns, spring.range, "turns"});
        }
    }
    return list;
}

} // namespace valve::study
