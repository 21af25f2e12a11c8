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

namespace {

/// What sums of dead travel in all may differ by and still be alike [m].
double sum_error(const CycleStudy& study) {
    const double figures = 2.0 * static_cast<double>(study.cycles.size()); // in the sum
    return 2.0 * figures * CycleErrors().dead_travel;                      // of either sum
}

} // namespace

std::optional<double> but_for_dips_in_all(const CycleStudy& study) {
    std::optional<double> sum = dead_travel_in_all(study);
    if (!sum) return std::nullopt;
    for (const CycleFigures& cycle : study.cycles) {
        if (cycle.but_for_dips_compression)
            *sum += *cycle.but_for_dips_compression - *cycle.dead_travel_compression;
        if (cycle.but_for_dips_rebound) *sum += *cycle.but_for_dips_rebound - *cycle.dead_travel_rebound;
    }
    return sum;
}

std::optional<std::size_t> least_but_for_dips(const CycleFamily& family) {
    const std::vector<std::size_t> alike = alike_in_dead_travel(family);
    if (alike.empty()) return std::nullopt;
    const auto sum = [&](std::size_t i) { return but_for_dips_in_all(family.members[i].study); };
    double told = *sum(alike.front());
    for (const std::size_t i : alike)
        told = std::min(told, *sum(i));
    std::optional<std::size_t> best;
    double least = told - sum_error(family.members.front().study);
    for (std::size_t i = 0; i < family.members.size(); ++i)
        if (const std::optional<double> one = sum(i); one && *one < least) {
            least = *one;
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
        if (sum && *sum - least <= sum_error(study)) alike.push_back(i);
    }
    return alike;
}

} // namespace valve::study
