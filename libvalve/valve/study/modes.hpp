#pragma once

#include <valve/flow/spec.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/modes.hpp>

#include <array>
#include <optional>
#include <string>

namespace valve::study {

enum class Shaker { rod_and_wheel, engine_and_tyre, flow };

/// Something that shakes stacks.
struct Excitation {
    Shaker shaker = Shaker::flow;
    double from = 0.0; ///< [Hz]
    double to = 0.0;   ///< [Hz]
};

/// Common practice, no source: the ranges follow from speeds and spacings that riders know. A mode is near
/// one within its range and `near_margin` of its ends beyond.
inline constexpr double near_margin = 0.1;
inline constexpr std::array excitations{Excitation{Shaker::rod_and_wheel, 0.5, 30.0},
                                        Excitation{Shaker::engine_and_tyre, 30.0, 600.0},
                                        Excitation{Shaker::flow, 1000.0, 10000.0}};

/// The excitation that `frequency` [Hz] is near to; null: none.
const Excitation* excitation_near(double frequency);

/// Natural frequencies of one valve's stack.
struct ModesResult {
    std::string name; ///< "base.refill"
    flow::Valve valve;
    stack::Theory theory = stack::Theory::large_deflection;
    stack::ModesOptions options = {};
    std::optional<double> temperature = std::nullopt; ///< of the oil [K]; none: the file gives no oil
    std::optional<stack::Modes> modes = std::nullopt; ///< none: `error` says why
    std::string error = {};

    bool failed() const { return !modes; }
};

/// Solves for the modes of `valve` in `oil`, where there is one; its density replaces that of the options.
ModesResult modes_result(const std::string& name, const flow::Valve& valve,
                         const std::optional<flow::Oil>& oil, stack::Theory theory,
                         const stack::ModesOptions& options);

/// What a mode is judged by: its frequency in oil, in air where there is none [Hz].
std::optional<double> working_frequency(const ModesResult& result, const stack::Mode& mode);

/// What a mode is near to; null: nothing.
const Excitation* near_to(const ModesResult& result, const stack::Mode& mode);

} // namespace valve::study
