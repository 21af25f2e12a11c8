#include <valve/flow/oil.hpp>
#include <valve/stack/solution.hpp>
#include <valve/study/modes.hpp>

#include <algorithm>

namespace valve::study {

const Excitation* excitation_near(double frequency) {
    const auto found =
        std::find_if(excitations.begin(), excitations.end(), [&](const Excitation& excitation) {
            return frequency >= excitation.from * (1.0 - near_margin) &&
                   frequency <= excitation.to * (1.0 + near_margin);
        });
    return found != excitations.end() ? &*found : nullptr;
}

ModesResult modes_result(const std::string& name, const flow::Valve& valve,
                         const std::optional<flow::Oil>& oil, stack::Theory theory,
                         const stack::ModesOptions& options) {
    ModesResult result{name, valve, theory, options};
    result.options.oil_density = 0.0;
    if (oil) {
        const flow::OilState state = flow::state_of(*oil);
        result.options.oil_density = state.density;
        result.temperature = state.temperature;
    }
    try {
        result.modes = stack::Solution(valve.stack, {.theory = theory}).modes(result.options);
    } catch (const SolveError& error) {
        result.error = error.what();
    }
    return result;
}

std::optional<double> working_frequency(const ModesResult& result, const stack::Mode& mode) {
    return result.temperature ? mode.frequency_oil : mode.frequency_air;
}

const Excitation* near_to(const ModesResult& result, const stack::Mode& mode) {
    const std::optional<double> frequency = working_frequency(result, mode);
    return frequency ? excitation_near(*frequency) : nullptr;
}

} // namespace valve::study
