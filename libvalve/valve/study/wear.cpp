#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/reservoir.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/wear.hpp>

#include <algorithm>
#include <optional>
#include <stdexcept>
#include <utility>

namespace valve::study {

namespace {

std::vector<Worn> cases_of(const damper::SetUp& unit, const std::vector<double>& multiples) {
    std::vector<Worn> list{{}};
    if (has_ring(unit))
        for (const double multiple : multiples)
            list.push_back({multiple, 1.0});
    if (has_seal(unit))
        for (const double multiple : multiples)
            list.push_back({1.0, multiple});
    if (has_ring(unit) && has_seal(unit)) list.push_back({multiples.back(), multiples.back()});
    return list;
}

/// The set-up so worn, edited by key.
setup::Reading worn_reading(const setup::Reading& reading, const Worn& worn) {
    if (worn.ring == 1.0 && worn.seal == 1.0) return reading;
    if (!reading.written)
        throw std::invalid_argument("wear_study: the reading does not know what was written");
    const damper::SetUp& unit = *reading.unit;
    setup::Document document = *reading.written;
    if (worn.ring != 1.0)
        document = document.with("damper.ring_leak.gap", worn.ring * unit.cartridge.ring_leak->gap);
    if (worn.seal != 1.0) document = document.with("reservoir.friction", worn.seal * unit.reservoir.friction);
    return setup::read(document);
}

} // namespace

bool WearStudy::failed() const {
    return std::any_of(members.begin(), members.end(), [](const CurveResult& one) { return one.failed(); });
}

bool has_ring(const damper::SetUp& unit) {
    return unit.cartridge.ring_leak && unit.cartridge.ring_leak->gap > 0.0;
}

bool has_seal(const damper::SetUp& unit) {
    return damper::has_piston(unit.reservoir.kind) && unit.reservoir.friction > 0.0;
}

std::vector<double> wear_speeds() {
    return {0.05, 0.1, 0.5, 1.0, 3.0, -0.05, -0.1, -0.5, -1.0, -3.0};
}

std::vector<double> wear_multiples() {
    return {2.0, 3.0};
}

WearStudy wear_study(const std::string& file, const setup::Reading& reading,
                     const damper::CurveOptions& options, const std::vector<double>& multiples,
                     damper::LiftCache& lifts) {
    if (multiples.empty() ||
        !std::all_of(multiples.begin(), multiples.end(), [](double m) { return m > 0.0; }))
        throw std::invalid_argument("wear_study: multiples must be positive");
    const damper::SetUp& unit = unit_of(file, reading);
    if (!has_ring(unit) && !has_seal(unit))
        throw InputError(file +
                         ": nothing here wears: give damper.ring_leak, or the friction of a reservoir's "
                         "piston");
    damper::CurveOptions asked = options;
    if (asked.speeds.empty()) asked.speeds = wear_speeds();
    WearStudy study{cases_of(unit, multiples), {}};
    std::vector<std::optional<CurveResult>> results(study.cases.size());
    for_each_index(study.cases.size(), [&](std::size_t i) {
        results[i].emplace(curve_result(file, worn_reading(reading, study.cases[i]), asked, lifts));
    });
    for (std::optional<CurveResult>& result : results)
        study.members.push_back(std::move(*result));
    return study;
}

} // namespace valve::study
