#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace valve::study {

/// What a result has to warn of; beside each, what the fields of its Warning hold.
enum class WarningKind {
    ports_choke,      ///< a valve that damps is ruled by its ports
    shim_keeps_set,   ///< the yield strength of shim `shim` is passed at `radius`
    shim_life_ends,   ///< shim `shim` is bent beyond endless life at `radius`
    waves_over_ports, ///< the waves of a stack over its ports are too high to be followed
    buckles,          ///< the round shape buckles into `count` waves round the ring
    cup_turbulent,    ///< the gap round a plug is turbulent, above the Reynolds number `value`
    cup_empty,        ///< a cup runs empty as its plug leaves, a void
    stress_unknown,   ///< no stress is judged, for the reason in `detail`
};

/// "shim_keeps_set", as results name it.
constexpr std::string_view name(WarningKind kind) {
    switch (kind) {
    case WarningKind::ports_choke:
        return "ports_choke";
    case WarningKind::shim_keeps_set:
        return "shim_keeps_set";
    case WarningKind::shim_life_ends:
        return "shim_life_ends";
    case WarningKind::waves_over_ports:
        return "waves_over_ports";
    case WarningKind::buckles:
        return "buckles";
    case WarningKind::cup_turbulent:
        return "cup_turbulent";
    case WarningKind::cup_empty:
        return "cup_empty";
    case WarningKind::stress_unknown:
        return "stress_unknown";
    }
    return "";
}

/// What a warning belongs to.
enum class WarningSubject { ports, shims, ends };

constexpr WarningSubject subject(WarningKind kind) {
    switch (kind) {
    case WarningKind::ports_choke:
        return WarningSubject::ports;
    case WarningKind::cup_turbulent:
    case WarningKind::cup_empty:
        return WarningSubject::ends;
    default:
        return WarningSubject::shims;
    }
}

/// Something in a result that its reader must know: numbers, no sentence.
struct Warning {
    WarningKind kind = WarningKind::stress_unknown;
    std::string place = {};                        ///< the valve or key that it is about: "piston.rebound"
    std::optional<double> speed = std::nullopt;    ///< of the rod, from which it holds, a magnitude [m/s]
    std::optional<double> pressure = std::nullopt; ///< on the face shim, from which it holds [Pa]
    std::optional<double> radius = std::nullopt;   ///< where on a shim [m]
    std::optional<double> value = std::nullopt;    ///< as the kind says
    int shim = 0;                                  ///< from 1, the face shim; 0: of none
    int count = 0;                                 ///< as the kind says
    std::string detail = {};                       ///< message of a failure

    bool operator==(const Warning&) const = default;
};

} // namespace valve::study
