#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/detail/along.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/sweep.hpp>

#include <algorithm>
#include <utility>

namespace valve::study {

std::string unit_of_settings(const std::string& key, const std::vector<std::string>& settings) {
    const auto is_bare = [](const std::string& setting) {
        try {
            parse_number(setting);
            return true;
        } catch (const InputError&) {
            return false;
        }
    };
    if (!std::all_of(settings.begin(), settings.end(), is_bare)) return "";
    return setup::bare_unit(key);
}

CurveFamily curve_family(Sweep sweep, const DocumentAt& document, const damper::CurveOptions& options,
                         damper::LiftCache& lifts) {
    return along(std::move(sweep), [&](std::size_t i) {
        const setup::Document at = document(i);
        return curve_result(at.path(), setup::read(at), options, lifts);
    });
}

CycleFamily cycle_family(Sweep sweep, const DocumentAt& document,
                         const std::function<CycleQuestion(const damper::SetUp&)>& question,
                         damper::LiftCache& lifts) {
    return along(std::move(sweep), [&](std::size_t i) {
        const setup::Document at = document(i);
        const setup::Reading reading = setup::read(at);
        const damper::SetUp& unit = unit_of(at.path(), reading);
        return CycleMember{reading.warnings, cycle_study(unit, lifts, question(unit))};
    });
}

std::optional<double> dead_travel_in_all(const CycleStudy& study) {
    double sum = 0.0;
    for (const CycleFigures& cycle : study.cycles) {
        if (cycle.error || !cycle.dead_travel_compression || !cycle.dead_travel_rebound) return std::nullopt;
        sum += *cycle.dead_travel_compression + *cycle.dead_travel_rebound;
    }
    return sum;
}

std::optional<std::size_t> least_dead_travel(const CycleFamily& family) {
    std::optional<std::size_t> best;
    std::optional<double> least;
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        const std::optional<double> sum = dead_travel_in_all(family.members[i].study);
        if (!sum || (least && *sum >= *least)) continue;
        least = sum;
        best = i;
    }
    return best;
}

std::vector<std::size_t> alike_in_dead_travel(const CycleFamily& family) {
    std::vector<std::size_t> alike;
    const std::optional<std::size_t> best = least_dead_travel(family);
    if (!best) return alike;
    const double least = dead_travel_in_all(family.members[*best].study).value();
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        const CycleStudy& study = family.members[i].study;
        const std::optional<double> sum = dead_travel_in_all(study);
        const double figures = 2.0 * static_cast<double>(study.cycles.size()); // in the sum
        const double error = 2.0 * figures * CycleErrors().dead_travel;        // of this sum and of the least
        if (sum && *sum - least <= error) alike.push_back(i);
    }
    return alike;
}

} // namespace valve::study
