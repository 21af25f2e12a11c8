#include <valve/core/number.hpp>
#include <valve/damper/spec.hpp>
#include <valve/motion/ground.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/cut_off.hpp>
#include <valve/report/needed_points.hpp>
#include <valve/report/ride.hpp>
#include <valve/report/ride_fields.hpp>
#include <valve/report/ride_series.hpp>
#include <valve/report/series.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

using motion::Event;
using motion::EventKind;
using study::RideFigures;

std::string metres(double value) {
    return fmt::format("{:.4g} m", value);
}

/// In the unit of its key, and as it may be written there: "64e-6 m³".
std::string roughness(double value) {
    constexpr double rough = 1e-3; // from here on it needs no power of ten
    return value < rough ? fmt::format("{:.4g}e-6 m³", value * 1e6) : fmt::format("{:.4g} m³", value);
}

/// "8 bumps of 60 mm over 0.6 m, 2 m apart, at 12 m/s".
std::string what_it_is(const Event& event) {
    const auto bump = [&] {
        return fmt::format("{} mm high and {} long", trim_mm(event.height), metres(event.length));
    };
    const std::string pace = fmt::format("at {:.4g} m/s for {:.4g} s", event.speed, event.duration);
    switch (event.kind) {
    case EventKind::square_edge:
        return fmt::format("an edge {} mm high, {}", trim_mm(event.height), pace);
    case EventKind::bump:
        return fmt::format("a bump {}, {}", bump(), pace);
    case EventKind::bumps:
        return fmt::format("{} bumps, each {}, {} apart, {}", event.count, bump(), metres(event.pitch), pace);
    case EventKind::braking:
        return fmt::format("{} bumps, each {}, {} apart, {}, under {:.4g} N of load transfer within {:.2g} s",
                           event.count, bump(), metres(event.pitch), pace, event.load_transfer,
                           event.transfer_time);
    case EventKind::landing:
        return fmt::format("a landing from {} of height{}, for {:.4g} s", metres(event.height),
                           event.slope > 0.0
                               ? fmt::format(" on a slope of {:.3g}°", event.slope * 180.0 / std::numbers::pi)
                               : "",
                           event.duration);
    case EventKind::rough:
        return fmt::format("a rough road of {} at 0.1 cycles/m (ISO 8608), {}", roughness(event.roughness),
                           pace);
    case EventKind::profile:
        return fmt::format("a profile of {} points, {}", event.distance.size(), pace);
    }
    return "";
}

const RideFigures& ride_of(const std::vector<RideFigures>& rides, std::size_t side, std::size_t event) {
    return *std::find_if(rides.begin(), rides.end(),
                         [&](const RideFigures& ride) { return ride.side == side && ride.event == event; });
}

/// Rows without a number in any column say nothing.
bool says_something(const FieldWords& field, const std::vector<Value>& values) {
    const bool any = std::any_of(values.begin(), values.end(), [](const Value& value) {
        return !std::holds_alternative<std::monostate>(value);
    });
    if (!any) return false;
    // No void is no news.
    const bool is_void = field.measure == Magnitude::volume;
    return !is_void || std::any_of(values.begin(), values.end(), [](const Value& value) {
        const auto* number = std::get_if<double>(&value);
        return number != nullptr && *number > 0.0;
    });
}

/// One event, a row a metric and a column a set-up.
std::string table(const std::vector<RideFigures>& rides, const RideNames& names, std::size_t event) {
    std::vector<Table::Column> columns{{"", "", true}, {"", "", true}};
    for (std::size_t side = 0; side < names.sides.size(); ++side)
        columns.push_back({names.sides.size() > 1 ? setup_letter(side) : "", ""});
    Table table(columns);
    for (const auto& field : ride_fields()) {
        std::vector<Value> values;
        for (std::size_t side = 0; side < names.sides.size(); ++side) {
            const RideFigures& ride = ride_of(rides, side, event);
            values.push_back(ride.error ? Value{} : field.value(ride));
        }
        if (!says_something(field, values)) continue;
        std::vector<std::string> cells{std::string(field.words),
                                       std::string(units_of(field.measure).metric.name)};
        for (const Value& value : values)
            cells.push_back(cell(field, value));
        table.add(std::move(cells));
    }
    return table.text();
}

constexpr double least_energy = 0.05; // that is told [J]

/// Where the energy went, side by side [J], below an empty line; nothing where none went.
std::string energies(const std::vector<RideFigures>& rides, const RideNames& names, std::size_t event) {
    std::vector<Table::Column> columns{{"energy lost in", "", true}, {"", "", true}};
    for (std::size_t side = 0; side < names.sides.size(); ++side)
        columns.push_back({names.sides.size() > 1 ? setup_letter(side) : "", ""});
    Table table(columns);
    bool any_row = false;
    const auto row = [&](const std::string& name, const auto& of) {
        std::vector<std::string> cells{name, "J"};
        bool any = false;
        for (std::size_t side = 0; side < names.sides.size(); ++side) {
            const RideFigures& ride = ride_of(rides, side, event);
            const double joules = ride.error ? 0.0 : of(ride);
            any = any || std::abs(joules) >= least_energy;
            cells.push_back(ride.error ? "-" : fixed(joules, 1));
        }
        if (any) table.add(std::move(cells));
        any_row = any_row || any;
    };
    for (const EnergyPart& part : energy_parts())
        row(std::string(part.name), part.value);
    return any_row ? "\n" + table.text() : "";
}

MetOnTheWay met(const RideFigures& ride) {
    return {ride.ride.begin.has_value(), ride.ride.metrics.start_travels.size()};
}

/// That the run ends before its event does, and that the wheel meets nothing, in sentences that begin small.
std::vector<std::string> of_event(const RideFigures& ride, const Event& event) {
    std::vector<std::string> list = cut_off_words(event, met(ride));
    if (!ride.ride.begin)
        list.emplace_back(
            "the wheel meets nothing within the run: there are no means, shares and harshness.");
    return list;
}

/// The same of all set-ups, in whole sentences: each once, and of which set-ups where wheels meet it
/// differently.
std::vector<std::string> of_event_once(const std::vector<RideFigures>& rides, const RideNames& names,
                                       std::size_t event) {
    std::vector<std::pair<std::string, std::vector<std::string>>> said; // and by whom
    std::size_t ridden = 0;
    for (std::size_t side = 0; side < names.sides.size(); ++side) {
        const RideFigures& ride = ride_of(rides, side, event);
        if (ride.error) continue;
        ++ridden;
        for (const std::string& sentence : of_event(ride, names.events[event].event)) {
            const auto found = std::find_if(said.begin(), said.end(),
                                            [&](const auto& one) { return one.first == sentence; });
            if (found == said.end())
                said.push_back({sentence, {setup_letter(side)}});
            else
                found->second.push_back(setup_letter(side));
        }
    }
    std::vector<std::string> list;
    for (const auto& [sentence, letters] : said)
        list.push_back(letters.size() == ridden ? capital(sentence) : listed(letters) + ": " + sentence);
    return list;
}

/// Which valves swing by themselves, as a sentence that begins small; or nothing.
std::string swings_of(const RideFigures& ride) {
    if (ride.swinging.empty()) return "";
    std::vector<std::string> valves;
    for (const study::SwingingValve& one : ride.swinging)
        valves.push_back(fmt::format("{}{} {} times in one stroke of the rod",
                                     one.unit > 0 ? "the other leg's " : "", damper::name(one.place),
                                     one.swings));
    return swinging_words(valves, "", "ride");
}

/// Where the damping has not come back, in sentences that begin small; dead travel says nothing of that.
std::vector<std::string> not_back(const RideFigures& ride) {
    std::vector<std::string> list;
    for (const auto& [into, stroke] :
         {std::pair{ride.compression, "compression"}, std::pair{ride.rebound, "rebound"}}) {
        if (into.not_back == 0) continue;
        const std::string where = into.count == 1 ? "its one reversal"
                                  : into.not_back == into.count
                                      ? fmt::format("each of its {} reversals", into.count)
                                      : fmt::format("{} of {} reversals", into.not_back, into.count);
        list.push_back(fmt::format("at {} into {} the damping has not come back before the greatest speed; "
                                   "dead travel there counts for nothing.",
                                   where, stroke));
    }
    return list;
}

/// What the reader of a ride that has run must know of its set-up, in sentences that begin small.
std::vector<std::string> of_setup(const RideFigures& ride) {
    std::vector<std::string> list;
    if (std::any_of(ride.ride.metrics.units.begin(), ride.ride.metrics.units.end(),
                    [](const auto& unit) { return unit.beyond_curve; }))
        list.emplace_back(
            "a valve is lifted beyond the end of its lift curve; there it goes on along the last slope.");
    if (std::any_of(ride.ride.metrics.units.begin(), ride.ride.metrics.units.end(),
                    [](const auto& unit) { return unit.reservoir_full; }))
        list.emplace_back(
            "the reservoir is full for a moment: its piston meets the end of its room, and C locks.");
    if (const std::string left = left_round_words(ride.valves.left_round); !left.empty())
        list.push_back(left);
    if (const std::string swings = swings_of(ride); !swings.empty()) list.push_back(swings);
    const double most_open = ride.accuracy == motion::Accuracy::fine ? 1e-5 : 1e-3;
    for (const std::string& open : open_balances(ride.ride.balance, most_open))
        list.push_back(open);
    return list;
}

/// "vehicle.tyre.rate 160 N/mm": what the file leaves out below one of its maps.
std::vector<std::string> left_out(const std::vector<setup::DefaultUsed>& defaults, std::string_view map) {
    std::vector<std::string> list;
    for (const setup::DefaultUsed& used : defaults)
        if (used.key.starts_with(map)) list.push_back(used.key + " " + used.value);
    return list;
}

/// Wheel, tyre and ground where the files leave them to their defaults; the rest of a set-up as elsewhere.
std::string assumed(const RideNames& names) {
    std::string out;
    const auto add = [&](const std::string& who, const std::vector<std::string>& list) {
        if (!list.empty())
            out += wrapped(fmt::format("Assumed where {} says nothing: {}.", who, listed(list)), page_columns,
                           "") +
                   "\n";
    };
    for (const RideNames::Side& side : names.sides)
        add(side.file, left_out(side.defaults, "vehicle."));
    for (const RideNames::Event& event : names.events)
        add(event.file, left_out(event.defaults, "event."));
    return out;
}

std::string meanings(const std::vector<RideFigures>& rides) {
    double energy = 0.0;
    double mass = 0.0;
    for (const RideFigures& ride : rides) {
        if (ride.error) continue;
        energy = std::max(energy, ride.ride.balance.energy);
        mass = std::max(mass, ride.ride.balance.mass);
    }
    const bool quick = std::any_of(rides.begin(), rides.end(), [](const RideFigures& ride) {
        return ride.accuracy == motion::Accuracy::quick;
    });
    return fmt::format(
        "Travel is the unit's, from full extension. Means, r.m.s. and shares count from when the wheel "
        "leaves level ground (a landing: from touching it) to the end. Deeper at later bumps: the largest "
        "travel as a bump is met, less that at the first. Drift: mean of the second half less that of the "
        "first. Dead travel: where the rod reverses into a stroke of {:.0f} mm and {:.1f} m/s or more, its "
        "travel until the damping force has come up to 90 % of its steady value for good before the greatest "
        "speed; the largest. Harshness: vertical acceleration of the sprung mass; small bumps: while the "
        "ground is within 10 mm of level, edges and landings apart. Variation of the load: r.m.s. of wheel "
        "load less its value at rest, by that value. Metal: beyond the stop, {:.0f} kN/mm. The wheel is "
        "rigid and "
        "round. Oil balances to {:.0e}, energy to {:.0e}.{}",
        study::least_stroke * 1e3, study::least_stroke_speed, motion::metal_rate * 1e-6,
        std::max(mass, 1e-16), std::max(energy, 1e-16),
        quick ? " Quick steps: peaks are within 0.5 % of those of fine steps, voids within 0.3 %." : "");
}

Json energy_json(const RideFigures& ride) {
    Json object = Json::object();
    for (const EnergyPart& part : energy_parts()) {
        std::string key(part.name);
        std::replace(key.begin(), key.end(), ' ', '_');
        object[key] = part.value(ride);
    }
    return object;
}

Json reversals_json(const study::ReversalsInto& into) {
    const bool any = into.dead_travel.has_value();
    return {{"count", into.count},
            {"not_back", into.not_back},
            {"time_s", any ? Json(into.time) : Json()},
            {"travel_m", any ? Json(into.travel) : Json()}};
}

Json summary(const RideFigures& ride) {
    Json object = Json::object();
    add_fields(object, ride_fields(), ride);
    object["start_travels_m"] = Json(ride.ride.metrics.start_travels);
    object["energy_J"] = energy_json(ride);
    object["dissipated_J"] = ride.ride.losses.sum();
    object["balance"] = {{"mass", ride.ride.balance.mass}, {"energy", ride.ride.balance.energy}};
    object["static_load_N"] = ride.ride.static_load;
    object["counts_from_s"] = or_null(ride.ride.begin);
    object["reversals"] = {{"compression", reversals_json(ride.compression)},
                           {"rebound", reversals_json(ride.rebound)}};
    object["switches"] = {{"friction", ride.ride.switches[0]},
                          {"tyre", ride.ride.switches[1]},
                          {"metal", ride.ride.switches[2]}};
    return object;
}

} // namespace

std::string quasi_static_words(const std::string& who, const study::ValvesInTime& valves) {
    return fmt::format("{} are quasi-static: each follows the pressure on it at once.{}", who,
                       valves.because.empty() ? "" : " The reason: " + valves.because + ".");
}

std::string text(const std::vector<RideFigures>& rides, const RideNames& names) {
    std::string out;
    for (std::size_t side = 0; side < names.sides.size(); ++side)
        out += names.sides.size() > 1
                   ? fmt::format("{}  {} ({})\n", setup_letter(side), names.sides[side].title,
                                 names.sides[side].file)
                   : fmt::format("{}\n{}\n", names.sides[side].title, names.sides[side].file);
    for (const RideNames::Side& side : names.sides)
        if (!side.other_leg.empty()) out += fmt::format("The other leg: {}\n", side.other_leg);
    for (const RideFigures& ride : rides)
        if (ride.event == 0 && ride.valves.kind == motion::Valves::quasi_static) {
            const std::string who = names.sides.size() > 1 ? setup_letter(ride.side) + ": valves" : "Valves";
            out += wrapped(quasi_static_words(who, ride.valves), page_columns, "") + "\n";
        }
    if (!rides.empty())
        out += wrapped(fmt::format("Shims: {}.", words(rides.front().theory, rides.front().valves.bends)),
                       page_columns, "") +
               "\n";
    for (std::size_t event = 0; event < names.events.size(); ++event) {
        out += fmt::format("\n{} ({})\n", names.events[event].title, names.events[event].file);
        out += wrapped("In it: " + what_it_is(names.events[event].event) + ".", page_columns, "") + "\n\n";
        bool any = false;
        for (std::size_t side = 0; side < names.sides.size(); ++side)
            any = any || !ride_of(rides, side, event).error;
        if (any) out += table(rides, names, event) + energies(rides, names, event);
        for (const std::string& sentence : of_event_once(rides, names, event))
            out += wrapped(sentence, page_columns, "") + "\n";
        for (std::size_t side = 0; side < names.sides.size(); ++side) {
            const RideFigures& ride = ride_of(rides, side, event);
            const std::string who = names.sides.size() > 1 ? setup_letter(side) + ": " : "";
            std::vector<std::string> told =
                ride.error ? std::vector{fmt::format("there is no result: {}.", *ride.error)}
                           : of_setup(ride);
            if (!ride.error)
                for (std::string& sentence : not_back(ride))
                    told.push_back(std::move(sentence));
            for (const std::string& sentence : told)
                out += wrapped(capital(who + sentence), page_columns, "") + "\n";
        }
    }
    return out + "\n" + assumed(names) + wrapped(meanings(rides), page_columns, "") + "\n";
}

Json json(const std::vector<RideFigures>& rides, const RideNames& names) {
    Json object = Json::object();
    object["rides"] = Json::array();
    for (const RideFigures& ride : rides) {
        Json one = Json::object();
        one["file"] = names.sides[ride.side].file;
        one["event"] = names.events[ride.event].file;
        const RideNames::Side& side = names.sides[ride.side];
        one["title"] = side.title;
        one["other_leg"] = side.other_leg.empty() ? Json(nullptr) : Json(side.other_leg);
        one["defaults"] = json(side.defaults);
        one["event_defaults"] = json(names.events[ride.event].defaults);
        one["kind"] = motion::name(names.events[ride.event].event.kind);
        one["theory"] = stack::name(ride.theory);
        one["shape"] = shape_name(ride.valves.bends);
        one["valves"] = motion::name(ride.valves.kind);
        one["accuracy"] = motion::name(ride.accuracy);
        one["valves_because"] = ride.valves.because.empty() ? Json(nullptr) : Json(ride.valves.because);
        one["left_round"] = json(ride.valves.left_round);
        one["error"] = or_null(ride.error);
        one["cautions"] = Json::array();
        if (!ride.error)
            for (const std::vector<std::string>& list :
                 {of_setup(ride), of_event(ride, names.events[ride.event].event)})
                for (const std::string& sentence : list)
                    one["cautions"].push_back(capital(sentence));
        one["summary"] = ride.error ? Json(nullptr) : summary(ride);
        one["series"] = ride.error ? Json(nullptr) : series(ride, ride.ride.metrics.units.size());
        object["rides"].push_back(std::move(one));
    }
    return object;
}

namespace {

/// [{words, measure, value}] of what sums a ride up, then of what it has lost in each part.
Json metrics_to_show(const RideFigures& ride) {
    Json list = Json::array();
    if (ride.error) return list;
    for (const auto& field : ride_fields()) {
        const Value value = field.value(ride);
        if (!says_something(field, {value})) continue;
        Json one = described(field);
        list.push_back({{"words", one["words"]}, {"measure", one["measure"]}, {"value", to_json(value)}});
    }
    for (const EnergyPart& part : energy_parts()) {
        const double lost = part.value(ride);
        if (std::abs(lost) >= least_energy)
            list.push_back({{"words", fmt::format("lost in {}", part.name)},
                            {"measure", units_of(Magnitude::energy).name},
                            {"value", lost}});
    }
    return list;
}

/// What is ridden, how much of it if not all, and valves that swing; no full stop.
std::string about(const RideFigures& ride, const Event& event) {
    std::string words = what_it_is(event);
    if (ride.error) return words;
    std::vector<std::string> more = cut_off_words(event, met(ride));
    if (const std::string swings = swings_of(ride); !swings.empty()) more.push_back(swings);
    for (const std::string& sentence : more)
        words += ". " + capital(sentence.substr(0, sentence.size() - 1));
    return words;
}

/// What the wheel rolls over, not what it sees; null where nothing is passed over.
Json ground_to_draw(const Event& event, double wheel_radius) {
    if (event.kind == EventKind::landing) return nullptr;
    const motion::Ground ground(event, wheel_radius);
    constexpr double spacing = 5e-3; // [m]
    constexpr double beyond = 2.0;   // of what a picture shows on either side
    const auto steps = static_cast<std::size_t>((event.speed * event.duration + 2.0 * beyond) / spacing);
    std::vector<double> distance;
    std::vector<double> height;
    for (std::size_t i = 0; i <= steps; ++i) {
        distance.push_back(static_cast<double>(i) * spacing - beyond);
        height.push_back(ground.profile(distance.back()));
    }
    // A road of kilometres is drawn less closely, so that a page stays small.
    constexpr std::ptrdiff_t most = 20'000;
    double error = 0.5e-3;
    std::vector<bool> needed = needed_points(distance, {height}, error);
    while (std::count(needed.begin(), needed.end(), true) > most)
        needed = needed_points(distance, {height}, error *= 2.0);
    Json along = Json::array();
    Json up = Json::array();
    for (std::size_t i = 0; i < needed.size(); ++i) {
        if (!needed[i]) continue;
        along.push_back(parse_number(fmt::format("{:.3f}", distance[i])));
        up.push_back(parse_number(fmt::format("{:.4f}", height[i])));
    }
    return {{"distance_m", along}, {"height_m", up}};
}

} // namespace

Json rides_to_draw(const std::vector<RideFigures>& rides, const std::vector<RideNames::Event>& events,
                   double wheel_radius) {
    Json list = Json::array();
    for (const RideFigures& ride : rides) {
        const RideNames::Event& event = events.at(ride.event);
        Json one = Json::object();
        one["event"] = event.title;
        one["about"] = about(ride, event.event);
        one["metrics"] = metrics_to_show(ride);
        one["not_back"] = ride.error ? std::vector<std::string>{} : not_back(ride);
        one["by_time"] = event.event.kind == EventKind::landing;
        one["wheel_radius_m"] = wheel_radius;
        one["full_travel_m"] = ride.error ? Json(nullptr) : Json(ride.ride.metrics.full_travel);
        one["ground"] = ground_to_draw(event.event, wheel_radius);
        one["series"] = ride.error ? Json(nullptr) : series_to_draw(ride);
        list.push_back(std::move(one));
    }
    return list;
}

std::string series_csv(const std::vector<RideFigures>& rides, const RideNames& names) {
    Json rows = Json::array();
    for (const RideFigures& ride : rides) {
        if (ride.error) continue;
        const Json columns = series(ride, 1);
        for (std::size_t i = 0; i < columns.at("time_s").size(); ++i) {
            Json row = Json::object();
            row["file"] = names.sides[ride.side].file;
            row["event"] = names.events[ride.event].file;
            add_moment(row, columns, i);
            rows.push_back(std::move(row));
        }
    }
    return csv(rows);
}

} // namespace valve::report
