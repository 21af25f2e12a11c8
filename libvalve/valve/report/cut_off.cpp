#include <valve/report/cut_off.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace valve::report {

namespace {

using motion::Event;
using motion::EventKind;

/// What of the event is beyond the end of the run.
std::string left_out(const Event& event, double ends, const std::optional<MetOnTheWay>& met) {
    const bool reached = met && met->anything;
    switch (event.kind) {
    case EventKind::square_edge:
        return fmt::format("{} the edge at {:.4g} m", reached ? "the wheel still climbing" : "short of",
                           ends);
    case EventKind::rough:
        return fmt::format("short of where the road becomes rough at {:.4g} m", ends);
    case EventKind::profile:
        return fmt::format("before the profile does at {:.4g} m", ends);
    default:
        break;
    }
    if (event.count > 1)
        return fmt::format("before the row of bumps does at {:.4g} m{}", ends,
                           met ? fmt::format(": the wheel meets {} of {}", met->bumps, event.count) : "");
    if (!met) return fmt::format("before the bump does at {:.4g} m", ends);
    return fmt::format("{} the bump, which ends at {:.4g} m", reached ? "on" : "short of", ends);
}

std::vector<std::string> sentences(const std::vector<study::RideEvent>& events) {
    std::vector<std::string> list;
    for (auto event = events.begin(); event != events.end(); ++event) {
        if (!*event || std::find(events.begin(), event, *event) != event) continue;
        const Event& ridden = (*event)->event;
        const std::string& name = ridden.title.empty() ? (*event)->file : ridden.title;
        for (const std::string& words : cut_off_words(ridden))
            list.push_back(fmt::format("Over {}: {}", name, words));
        if (const auto cut_off = motion::cut_off(ridden); cut_off && cut_off->run < ridden.at)
            list.push_back(fmt::format("Over {}: where a wheel meets nothing within the run, there are no "
                                       "means, shares and harshness.",
                                       name));
    }
    return list;
}

} // namespace

std::vector<std::string> cut_off_words(const Event& event, const std::optional<MetOnTheWay>& met) {
    std::vector<std::string> list;
    if (const std::optional<motion::CutOff> cut_off = motion::cut_off(event))
        list.push_back(fmt::format("the run ends {:.4g} m along, {}.", cut_off->run,
                                   left_out(event, cut_off->ends, met)));
    if (event.load_transfer != 0.0 && event.transfer_time > event.duration)
        list.push_back(fmt::format("the run ends after {:.4g} s, before load transfer is whole at {:.4g} s.",
                                   event.duration, event.transfer_time));
    return list;
}

std::vector<std::string> cut_off_sentences(const std::vector<study::FigureRequest>& figures) {
    std::vector<study::RideEvent> events;
    for (const study::FigureRequest& figure : figures)
        events.push_back(figure.event);
    return sentences(events);
}

std::vector<std::string> cut_off_sentences(const std::vector<study::Figure>& figures) {
    std::vector<study::RideEvent> events;
    for (const study::Figure& figure : figures)
        events.push_back(figure.event);
    return sentences(events);
}

} // namespace valve::report
