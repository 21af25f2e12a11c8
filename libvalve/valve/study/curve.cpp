#include <valve/study/curve.hpp>
#include <valve/study/end_cups.hpp>
#include <valve/study/ports.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <utility>

namespace valve::study {

bool CurveResult::failed() const {
    return (measured && measured->failed()) || curve.void_onset.error() ||
           curve.void_onset_near_extension.error() ||
           std::any_of(curve.points.begin(), curve.points.end(),
                       [](const damper::SteadyPoint& point) { return point.error.has_value(); });
}

CurveResult curve_result(std::string file, setup::Reading reading, const damper::CurveOptions& options,
                         damper::LiftCache& lifts, const std::optional<RunFile>& run) {
    CurveResult result{std::move(file), std::move(reading), options, {}};
    const damper::Model model = lifts.model(unit_of(result.file, result.reading));
    damper::OnsetSearch search = damper::onset_search(model, options);
    result.curve = damper::steady_curve(search, options.speeds, options.rod_into);
    for (const damper::SteadyPoint& point : result.curve.points)
        result.through.push_back(point.error ? damper::ThroughValves{}
                                             : damper::through_valves(model, point));
    result.margin_below_zero = search.margin_below_zero();
    result.ports = damper::port_control(search);
    for (const std::vector<Warning>& found :
         {port_warnings(result.ports), shim_warnings(search, lifts), end_cup_warnings(search)})
        result.warnings.insert(result.warnings.end(), found.begin(), found.end());
    result.not_round = unevenness(search, lifts);
    if (run) result.measured = beside(*run, model, result.curve.travel, options.rod_into);
    return result;
}

} // namespace valve::study
