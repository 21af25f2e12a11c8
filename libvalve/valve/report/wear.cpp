#include <valve/damper/reservoir.hpp>
#include <valve/report/text.hpp>
#include <valve/report/wear.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace valve::report {

namespace {

/// A damper by how far its ring and its seal are worn, as multiples of the file's values.
struct Worn {
    std::string name;
    double ring = 1.0;
    double seal = 1.0;
};

bool has_ring(const damper::SetUp& unit) {
    return unit.cartridge.ring_leak && unit.cartridge.ring_leak->gap > 0.0;
}

bool has_seal(const damper::SetUp& unit) {
    return damper::has_piston(unit.reservoir.kind) && unit.reservoir.friction > 0.0;
}

std::vector<Worn> cases(const damper::SetUp& unit, const std::vector<double>& multiples) {
    std::vector<Worn> list{{"as is", 1.0, 1.0}};
    if (has_ring(unit))
        for (const double multiple : multiples)
            list.push_back({fmt::format("gap x {:g}", multiple), multiple, 1.0});
    if (has_seal(unit))
        for (const double multiple : multiples)
            list.push_back({fmt::format("friction x {:g}", multiple), 1.0, multiple});
    if (has_ring(unit) && has_seal(unit))
        list.push_back({fmt::format("both x {:g}", multiples.back()), multiples.back(), multiples.back()});
    return list;
}

/// The set-up so worn, edited by key.
setup::Reading worn_reading(const setup::Reading& reading, const Worn& worn) {
    if (worn.ring == 1.0 && worn.seal == 1.0) return reading;
    if (!reading.written)
        throw std::invalid_argument("wear_family: the reading does not know what was written");
    const damper::SetUp& unit = *reading.unit;
    setup::Document document = *reading.written;
    if (worn.ring != 1.0)
        document = document.with("damper.ring_leak.gap", worn.ring * unit.cartridge.ring_leak->gap);
    if (worn.seal != 1.0) document = document.with("reservoir.friction", worn.seal * unit.reservoir.friction);
    return setup::read(document);
}

/// What the file's values are, and what is made of them.
std::string assumption(const damper::SetUp& unit) {
    std::vector<std::string> values;
    if (has_ring(unit))
        values.push_back(fmt::format("{} mm of ring gap", trim_mm(unit.cartridge.ring_leak->gap)));
    if (has_seal(unit))
        values.push_back(fmt::format("{} N of reservoir friction", fixed(unit.reservoir.friction, 1)));
    return fmt::format(
        "The multiples are of the file's {}. How far parts wear is an assumption: measure yours. "
        "Oil, shims and springs stay as new.",
        listed(values));
}

} // namespace

std::vector<double> wear_speeds() {
    return {0.05, 0.1, 0.5, 1.0, 3.0, -0.05, -0.1, -0.5, -1.0, -3.0};
}

std::vector<double> wear_multiples() {
    return {2.0, 3.0};
}

Family wear_family(const std::string& file, const setup::Reading& reading,
                   const damper::CurveOptions& options, const std::vector<double>& multiples,
                   damper::LiftCache& lifts) {
    if (multiples.empty() ||
        !std::all_of(multiples.begin(), multiples.end(), [](double m) { return m > 0.0; }))
        throw std::invalid_argument("wear_family: multiples must be positive");
    const damper::SetUp& unit = study::unit_of(file, reading);
    if (!has_ring(unit) && !has_seal(unit))
        throw InputError(file +
                         ": nothing here wears: give damper.ring_leak, or the friction of a reservoir's "
                         "piston");
    damper::CurveOptions asked = options;
    if (asked.speeds.empty()) asked.speeds = wear_speeds();
    Family family;
    family.sweep.name = "Wear";
    family.sweep.assumption = assumption(unit);
    for (const Worn& worn : cases(unit, multiples)) {
        setup::Reading member = worn_reading(reading, worn);
        family.sweep.settings.push_back(worn.name);
        family.members.push_back(study::curve_result(file, std::move(member), asked, lifts));
    }
    return family;
}

Json wear_json(const Family& family) {
    Json object = json(family);
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        const damper::SetUp& unit = *family.members[i].reading.unit;
        Json& member = object.at("family").at(i);
        member["ring_gap_m"] = has_ring(unit) ? Json(unit.cartridge.ring_leak->gap) : Json(nullptr);
        member["reservoir_friction_N"] = has_seal(unit) ? Json(unit.reservoir.friction) : Json(nullptr);
    }
    return object;
}

} // namespace valve::report
