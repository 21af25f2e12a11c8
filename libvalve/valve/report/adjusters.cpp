#include <valve/report/adjusters.hpp>
#include <valve/report/text.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <variant>

namespace valve::report {

std::vector<Adjuster> adjusters(const setup::Reading& reading) {
    std::vector<Adjuster> list;
    for (const auto& [name, valve] : study::valves_of(reading)) {
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

std::string settings(const std::vector<Adjuster>& adjusters) {
    std::vector<std::string> said;
    for (const Adjuster& adjuster : adjusters)
        said.push_back(fmt::format("{} {:g} of {:g} {}", adjuster.name, adjuster.setting, adjuster.range,
                                   adjuster.steps));
    return listed(said);
}

} // namespace valve::report
