#include <valve/study/run.hpp>

#include <algorithm>

namespace valve::study {

bool RunBeside::failed() const {
    return std::any_of(deviations.points.begin(), deviations.points.end(),
                       [](const damper::Deviation& point) { return point.error.has_value(); });
}

RunBeside beside(const RunFile& run, const damper::Model& model, double travel, damper::RodInto rod_into) {
    return {run.file, run.run.kind, damper::deviations(model, run.run, travel, rod_into)};
}

} // namespace valve::study
