#pragma once

#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/stack/spec.hpp>

#include <map>
#include <optional>
#include <variant>

namespace valve::flow {

/// At which oils are named by their viscosity, 40 °C [K] (ISO 3448, from memory).
inline constexpr double oils_named_at = zero_celsius + 40.0;

/// Oil as its data sheet describes it.
struct Oil {
    double density_15 = 0.0;            ///< at 15 °C [kg/m³]
    std::map<double, double> viscosity; ///< temperature [K] → kinematic viscosity [m²/s], two points
    double bulk_modulus = 1.4e9;        ///< of the air-free oil [Pa]
    double free_air = 0.005;            ///< volume fraction at 1 atm [-]
    double temperature = oils_named_at; ///< at which the unit works [K]
    double expansion = 7.5e-4;          ///< [1/K]
    double cavitation_pressure = 20e3;  ///< absolute [Pa]

    bool operator==(const Oil&) const = default;
};

/// Drillings that feed a stack.
struct Ports {
    int count = 0;
    double area_each = 0.0;                      ///< [m²]
    std::optional<double> length = std::nullopt; ///< whose oil has inertia, in time [m]; none: port_length()

    bool operator==(const Ports&) const = default;
};

/// Discharge coefficients at high flow number and the flow numbers where they go over to laminar flow [-].
struct Discharge {
    double port = 0.75;
    double curtain = 0.70;
    double bleed = 0.70;
    double port_transition = 1000.0;
    double curtain_transition = 100.0;
    double bleed_transition = 500.0;

    bool operator==(const Discharge&) const = default;
};

/// A conical needle in a round seat, set by clicks counted out from closed.
struct Needle {
    double seat_diameter = 0.0; ///< [m]
    double cone_angle = 0.0;    ///< full angle [rad]
    double per_click = 0.0;     ///< axial movement a click [m]
    double clicks = 0.0;        ///< [-]
    double range = 0.0;         ///< clicks from closed to fully out [-]

    bool operator==(const Needle&) const = default;
};

struct Hole {
    double diameter = 0.0; ///< [m]
    int count = 1;

    bool operator==(const Hole&) const = default;
};

/// A passage of given area: a notched face shim, a groove.
struct Notch {
    double area = 0.0;                          ///< of all of them [m²]
    std::optional<double> depth = std::nullopt; ///< of slots far wider than that; none: one round hole [m]

    bool operator==(const Notch&) const = default;
};

using Bleed = std::variant<Needle, Hole, Notch>;

/// Which way a bleed lets oil pass: both, or, with a check of its own, only the way its valve opens. The
/// check counts as one that opens and closes without loss.
enum class BleedWays { both, one };

/// One valve: ports, the stack that covers them, and its bleed.
struct Valve {
    Ports ports;
    stack::Stack stack;
    std::optional<double> curtain_length; ///< summed length of separate raised seats [m]
    double jet_force = 0.3;               ///< c_j, share of the port jet's momentum that reaches the shim [-]
    Discharge discharge;
    std::optional<Bleed> bleed;
    BleedWays bleed_ways = BleedWays::both;
    double shim_friction = 0.15; ///< coefficient between the shims, in time [-]; common practice, no source
    double restitution = 0.0;    ///< share of its speed kept at its seat, a disc at its stop too, in time [-]

    bool operator==(const Valve&) const = default;
};

/// Values that cannot work or are unlikely to be meant; keys as in a set-up file.
Findings check(const Oil& oil);

/// The same of a valve, its stack included.
Findings check(const Valve& valve);

} // namespace valve::flow
