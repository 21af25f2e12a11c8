#include <valve/report/text.hpp>
#include <valve/report/warning_words.hpp>

#include <fmt/format.h>

#include <string_view>

namespace valve::report {

namespace {

using study::Warning;
using study::WarningKind;

/// "At 2.60 m/s and faster, "; empty where no speed is known.
std::string from_speed(const Warning& warning) {
    if (!warning.speed) return "";
    if (*warning.speed == 0.0) return "From the first movement on, ";
    return fmt::format("At {} m/s and faster, ", fixed(*warning.speed, 2));
}

std::string on_face_shim(const Warning& warning) {
    return fmt::format("from {} bar on the face shim", bar(warning.pressure.value_or(0.0)));
}

/// Of a valve alone, "Shim 2 keeps a set"; of a damper's, "shim 2 of piston.rebound keeps a set".
std::string stressed(const Warning& warning, std::string_view what) {
    const std::string where =
        fmt::format("(at Ø {}, {})", trim_mm(2.0 * warning.radius.value_or(0.0)), on_face_shim(warning));
    if (!warning.speed) return fmt::format("Shim {} {} {}", warning.shim, what, where);
    return fmt::format("{}shim {} of {} {} {}", from_speed(warning), warning.shim, warning.place, what,
                       where);
}

} // namespace

std::string sentence(const Warning& warning) {
    const std::string& place = warning.place;
    switch (warning.kind) {
    case WarningKind::ports_choke:
        return fmt::format("{} chokes in its ports from {} m/s on", place,
                           fixed(warning.speed.value_or(0.0), 2));
    case WarningKind::shim_keeps_set:
        return stressed(warning, "keeps a set");
    case WarningKind::shim_life_ends:
        return stressed(warning, "is bent beyond endless life");
    case WarningKind::waves_over_ports:
        return fmt::format("{}the waves of {} over its ports are too high to be followed ({}): they are "
                           "taken to grow as they did up to there, so that the force is less sure",
                           from_speed(warning), place, on_face_shim(warning));
    case WarningKind::buckles:
        return fmt::format("{}{} buckles into {} waves round the ring ({}): it lifts more than computed, "
                           "and the true force is lower",
                           from_speed(warning), place, warning.count, on_face_shim(warning));
    case WarningKind::cup_turbulent:
        return fmt::format("{}the gap round the plug of {} is turbulent (Re above {}): it will push harder "
                           "than computed",
                           from_speed(warning), place.substr(place.rfind('.') + 1),
                           fixed(warning.value.value_or(0.0), 0));
    case WarningKind::cup_empty:
        return fmt::format("{}the cup of {} is empty as its plug leaves: a void, which pulls no harder "
                           "and closes with a knock; a check (ways: one), a hole or a wider gap lets the oil "
                           "back in",
                           from_speed(warning), place.substr(place.rfind('.') + 1));
    case WarningKind::stress_unknown:
        return fmt::format("{}stress{} is not known: {}", from_speed(warning),
                           warning.place.empty() ? "" : " in " + warning.place, warning.detail);
    }
    return "";
}

std::vector<std::string> sentences(const std::vector<Warning>& warnings) {
    std::vector<std::string> said;
    for (const Warning& warning : warnings)
        said.push_back(sentence(warning));
    return said;
}

Json values(const std::vector<Warning>& warnings) {
    Json list = Json::array();
    for (const Warning& warning : warnings)
        list.push_back({{"kind", study::name(warning.kind)},
                        {"place", warning.place},
                        {"speed_m_s", or_null(warning.speed)},
                        {"pressure_Pa", or_null(warning.pressure)},
                        {"radius_m", or_null(warning.radius)},
                        {"value", or_null(warning.value)},
                        {"shim", warning.shim > 0 ? Json(warning.shim) : Json(nullptr)},
                        {"count", warning.count > 0 ? Json(warning.count) : Json(nullptr)},
                        {"detail", warning.detail}});
    return list;
}

std::vector<std::string> sentences(const std::vector<Warning>& warnings, study::WarningSubject subject) {
    std::vector<std::string> said;
    for (const Warning& warning : warnings)
        if (study::subject(warning.kind) == subject) said.push_back(sentence(warning));
    return said;
}

} // namespace valve::report
