#include <valve/report/text.hpp>
#include <valve/report/unevenness.hpp>

#include <fmt/format.h>

#include <array>

namespace valve::report {

namespace {

using study::Unevenness;

template <auto Member>
Value of(const Unevenness& row) {
    return value_of(row.*Member);
}

using F = Field<Unevenness>;
constexpr std::array fields{
    F{{"valve", "valve", "valve"}, [](const Unevenness& row) { return Value{row.place}; }},
    F{{"over_ports", "bent by ports that are windows", "over ports"},
      [](const Unevenness& row) { return Value{row.over_ports}; }},
    F{{"waves", "repeats round the ring", "waves", Magnitude::count}, of<&Unevenness::waves>},
    F{{"from_pressure_Pa", "not round from", "from", Magnitude::pressure, 2}, of<&Unevenness::pressure>},
    F{{"from_speed_m_s", "rod speed there", "from", Magnitude::speed, 2}, of<&Unevenness::speed>},
    F{{"land_free_pressure_Pa", "land lets go at mid-land", "land free", Magnitude::pressure, 2},
      of<&Unevenness::land_pressure>},
    F{{"land_free_speed_m_s", "rod speed there", "land free", Magnitude::speed, 2},
      of<&Unevenness::land_speed>},
    F{{"highest_pressure_Pa", "highest pressure on the face shim", "highest", Magnitude::pressure, 2},
      of<&Unevenness::highest_pressure>},
    F{{"seat_lift_m", "mean lift there", "mean", Magnitude::length, 3}, of<&Unevenness::mean>},
    F{{"seat_lift_crest_m", "lift there at the crests, or mid-port", "crest", Magnitude::length, 3},
      of<&Unevenness::crest>},
    F{{"seat_lift_trough_m", "lift there in the troughs, or at mid-land", "trough", Magnitude::length, 3},
      of<&Unevenness::trough>},
};

/// "from 2.57 m/s on (10.71 bar on the face shim)", "from the first movement on", "from 10.71 bar on".
std::string from(const std::optional<double>& speed, double pressure) {
    const std::string at = bar(pressure) + " bar";
    if (!speed) return "from " + at + " on";
    if (*speed == 0.0) return "from the first movement on";
    return fmt::format("from {} m/s on ({} on the face shim)", fixed(*speed, 2), at);
}

/// How uneven it gets; empty where that is not known.
std::string lifts(const Unevenness& valve) {
    if (!valve.mean || !valve.crest || !valve.trough) return "";
    const std::string at = bar(valve.highest_pressure) + " bar";
    const std::string where =
        valve.top_speed ? fmt::format("At {}, the most up to {} m/s,", at, metres_a_second(*valve.top_speed))
                        : fmt::format("At {}, where its law ends,", at);
    return fmt::format(". {} it lifts {} mm in the mean, {} mm {} and {} mm {}", where, mm(*valve.mean),
                       mm(*valve.crest), valve.over_ports ? "at mid-port" : "at the crests",
                       mm(*valve.trough), valve.over_ports ? "at mid-land" : "in the troughs");
}

/// When the land lets go between the ports.
std::string land(const Unevenness& valve) {
    const bool reached = valve.land_pressure && (valve.land_speed || !valve.speed);
    if (!reached) return ", and does not leave its land half-way between two of them";
    if (*valve.land_pressure <= valve.pressure) return ", and leaves its land between them at once";
    return ", and leaves its land half-way between two of them " +
           from(valve.land_speed, *valve.land_pressure);
}

} // namespace

Fields<Unevenness> unevenness_fields() {
    return fields;
}

Json json(const std::vector<Unevenness>& valves) {
    Json list = Json::array();
    for (const Unevenness& valve : valves) {
        Json row;
        add_fields(row, unevenness_fields(), valve);
        row["says"] = sentence(valve);
        list.push_back(row);
    }
    return list;
}

std::string sentence(const Unevenness& valve) {
    const std::string begins = from(valve.speed, valve.pressure);
    if (valve.over_ports)
        return fmt::format("{} opens at the middle of its {} ports {}{}{}", valve.place, valve.waves, begins,
                           land(valve), lifts(valve));
    return fmt::format("{} bends into {} waves round the ring {}{}", valve.place, valve.waves, begins,
                       lifts(valve));
}

std::vector<std::string> sentences(const std::vector<Unevenness>& valves) {
    std::vector<std::string> said;
    for (const Unevenness& valve : valves)
        said.push_back(sentence(valve));
    return said;
}

} // namespace valve::report
