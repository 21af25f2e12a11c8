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
    return warning.speed ? fmt::format("At {} m/s and faster, ", fixed(*warning.speed, 2)) : "";
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
        return fmt::format("the gap round the plug of {} is turbulent at {} m/s (Re {}): it will push harder "
                           "than computed",
                           place.substr(place.rfind('.') + 1), metres_a_second(warning.speed.value_or(0.0)),
                           fixed(warning.value.value_or(0.0), 0));
    case WarningKind::cup_empty:
        return fmt::format(
            "at {} m/s the cup of {} is empty as its plug leaves: a void, which pulls no harder "
            "and closes with a knock; a check (ways: one), a hole or a wider gap lets the oil "
            "back in",
            metres_a_second(warning.speed.value_or(0.0)), place.substr(place.rfind('.') + 1));
    case WarningKind::stress_unknown:
        return "stress is not known: " + warning.detail;
    }
    return "";
}

std::vector<std::string> sentences(const std::vector<Warning>& warnings) {
    std::vector<std::string> said;
    for (const Warning& warning : warnings)
        said.push_back(sentence(warning));
    return said;
}

std::vector<std::string> sentences(const std::vector<Warning>& warnings, study::WarningSubject subject) {
    std::vector<std::string> said;
    for (const Warning& warning : warnings)
        if (study::subject(warning.kind) == subject) said.push_back(sentence(warning));
    return said;
}

} // namespace valve::report
