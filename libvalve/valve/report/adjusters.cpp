#include <valve/report/adjusters.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

namespace valve::report {

std::string settings(const std::vector<study::Adjuster>& adjusters) {
    std::vector<std::string> said;
    for (const study::Adjuster& adjuster : adjusters)
        said.push_back(fmt::format("{} {:g} of {:g} {}", adjuster.name, adjuster.setting, adjuster.range,
                                   adjuster.steps));
    return listed(said);
}

} // namespace valve::report
