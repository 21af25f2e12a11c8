#pragma once

#include <valve/flow/spec.hpp>
#include <valve/report/json.hpp>
#include <valve/stack/modes.hpp>

#include <array>
#include <optional>
#include <string>
#include <string_view>

namespace valve::report {

/// Something that shakes stacks, and how a mode in its range shows itself.
struct Excitation {
    std::string_view name;
    double from = 0.0; ///< [Hz]
    double to = 0.0;   ///< [Hz]
    std::string_view effect;
    std::string_view basis;
};

/// Common practice, no source: the ranges follow from speeds and spacings that riders know, which `basis`
/// names. A mode is near one within its range and `near_margin` of its ends beyond.
inline constexpr double near_margin = 0.1;
inline constexpr std::array excitations{
    Excitation{"rod and wheel", 0.5, 30.0,
               "felt: the stack lags behind the pressure, the damper answers late or chatters",
               "body 1 to 3 Hz, wheel 8 to 20 Hz"},
    Excitation{"engine and tyre", 30.0, 600.0,
               "felt: a buzz in bars and pegs that comes and goes with engine or road speed",
               "two orders of an engine up to 9000 rpm; knobs 50 mm apart up to 30 m/s"},
    Excitation{"flow", 1000.0, 10000.0,
               "heard, hardly felt: a hiss, and a whistle or squeal where the stack rings with the jet",
               "what oil at a valve sounds like, a broad noise in these octaves"},
};

/// The excitation that `frequency` [Hz] is near to; null: none.
const Excitation* excitation_near(double frequency);

/// Natural frequencies of one valve's stack.
struct ModesResult {
    std::string name; ///< "base.refill"
    flow::Valve valve;
    stack::ModesOptions options;
    std::optional<double> temperature = std::nullopt; ///< of the oil [K]; none: the file gives no oil
    std::optional<stack::Modes> modes = std::nullopt; ///< none: `error` says why
    std::string error = {};

    bool failed() const { return !modes; }
};

/// Solves for the modes of `valve` in `oil`, where there is one; its density replaces that of the options.
ModesResult modes_result(const std::string& name, const flow::Valve& valve,
                         const std::optional<flow::Oil>& oil, stack::ModesOptions options);

Json json(const ModesResult& result);

/// What is lowest and what it is near to, the state and what is left out, then one row a mode.
std::string text(const ModesResult& result);

} // namespace valve::report
