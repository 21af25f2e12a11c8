#include <valve/core/findings.hpp>
#include <valve/damper/check.hpp>
#include <valve/damper/measured.hpp>

#include <cmath>

namespace valve::damper {

namespace {

void sum_up(Deviations& result) {
    double sum = 0.0;
    double squares = 0.0;
    double measured_squares = 0.0;
    double count = 0.0;
    for (std::size_t i = 0; i < result.points.size(); ++i) {
        const std::optional<double> difference = result.points[i].difference();
        if (!difference) continue;
        sum += *difference;
        squares += *difference * *difference;
        measured_squares += std::pow(result.points[i].measured.force, 2);
        count += 1.0;
        if (!result.worst || std::abs(*difference) > std::abs(*result.points[*result.worst].difference()))
            result.worst = i;
    }
    if (count == 0.0) return;
    result.mean = sum / count;
    result.rms = std::sqrt(squares / count);
    if (measured_squares > 0.0) result.rms_share = std::sqrt(squares / measured_squares);
}

} // namespace

std::optional<double> Deviation::difference() const {
    if (!predicted) return std::nullopt;
    return measured.force - *predicted;
}

Deviations deviations(const Model& model, const MeasuredRun& run, double travel, RodInto rod_into) {
    refuse_errors<InputError>(check(run), "measured run: ");
    Deviations result;
    for (const MeasuredPoint& measured : run.points) {
        Deviation deviation{measured, std::nullopt, std::nullopt};
        try {
            const SteadyPoint point = steady_point(model, measured.speed, travel, rod_into);
            deviation.predicted = run.kind == MeasuredForce::rod ? point.force : point.damping_force;
        } catch (const SolveError& error) {
            deviation.error = error.what();
        }
        result.points.push_back(deviation);
    }
    sum_up(result);
    return result;
}

} // namespace valve::damper
