#include <valve/report/text.hpp>
#include <valve/report/wear.hpp>

#include <fmt/format.h>

#include <utility>
#include <vector>

namespace valve::report {

namespace {

std::string name_of(const study::Worn& worn) {
    if (worn.ring == 1.0 && worn.seal == 1.0) return "as is";
    if (worn.seal == 1.0) return fmt::format("gap x {:g}", worn.ring);
    if (worn.ring == 1.0) return fmt::format("friction x {:g}", worn.seal);
    return fmt::format("both x {:g}", worn.ring);
}

} // namespace

study::CurveFamily family_of(study::WearStudy wear) {
    study::CurveFamily family;
    family.sweep.name = "Wear";
    for (const study::Worn& worn : wear.cases)
        family.sweep.settings.push_back(name_of(worn));
    family.members = std::move(wear.members);
    return family;
}

std::string assumption_of(const study::WearStudy& wear) {
    const damper::SetUp& unit = *wear.members.front().reading.unit;
    std::vector<std::string> values;
    if (study::has_ring(unit))
        values.push_back(fmt::format("{} mm of ring gap", trim_mm(unit.cartridge.ring_leak->gap)));
    if (study::has_seal(unit))
        values.push_back(fmt::format("{} N of reservoir friction", fixed(unit.reservoir.friction, 1)));
    return fmt::format(
        "The multiples are of the file's {}. How far parts wear is an assumption: measure yours. "
        "Oil, shims and springs stay as new.",
        listed(values));
}

Json json(const study::WearStudy& wear) {
    Json object = json(family_of(wear), assumption_of(wear));
    for (std::size_t i = 0; i < wear.members.size(); ++i) {
        const damper::SetUp& unit = *wear.members[i].reading.unit;
        Json& member = object.at("family").at(i);
        member["ring_gap_m"] = study::has_ring(unit) ? Json(unit.cartridge.ring_leak->gap) : Json(nullptr);
        member["reservoir_friction_N"] =
            study::has_seal(unit) ? Json(unit.reservoir.friction) : Json(nullptr);
    }
    return object;
}

Json points(const study::WearStudy& wear) {
    return points(family_of(wear));
}

std::string text(const study::WearStudy& wear) {
    return text(family_of(wear), assumption_of(wear));
}

} // namespace valve::report
