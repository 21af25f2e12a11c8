#pragma once

#include <valve/damper/port_control.hpp>
#include <valve/damper/steady.hpp>
#include <valve/report/json.hpp>
#include <valve/study/stress.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// What a figure tells of a set-up, in the order in which a tuner should hear it.
enum class Quantity {
    void_onset_rebound,
    void_onset_compression,
    void_onset_near_extension_rebound,
    void_onset_near_extension_compression,
    refill_deficit,
    balance_negative_from,
    balance_margin,
    damping_force,
    end_force,
    static_force,
    reservoir_friction,
    ports_lead_base_compression,
    ports_lead_piston_compression,
    ports_lead_piston_rebound,
    shims_set_from,
    shims_life_from,
    rider_sag,
    free_sag,
    support_force,
    support_energy,
};

/// As in JSON, with the unit: "refill_deficit_Pa".
std::string_view key(Quantity quantity);

/// An onset speed; such a figure may be "none up to the top speed".
bool is_onset(Quantity quantity);

/// One number that sums up a set-up, in SI. Without a value: an onset not reached up to the top speed, or,
/// with `error`, not solved.
struct Figure {
    Quantity quantity = Quantity::damping_force;
    std::optional<double> speed; ///< rod speed it belongs to, negative on rebound [m/s]
    std::optional<double> value;
    std::string error;
    std::optional<double> travel_share = std::nullopt; ///< of the full travel, that it belongs to [-]
};

/// The figures of one set-up; the same quantities and speeds in the same order for every set-up.
struct Headline {
    double travel = 0.0;    ///< [m]
    double top_speed = 0.0; ///< to which onsets were sought [m/s]
    stack::Theory theory = stack::Theory::linear;
    std::vector<Figure> figures;

    /// Some figure could not be solved.
    bool failed() const;
};

/// Speeds at which a curve must be solved for headline(): those of the figures and a scan of the balance
/// margin up to `top_speed` [m/s].
std::vector<double> headline_speeds(double top_speed);

/// Sums up a curve solved at headline_speeds(). The speed at which the balance margin turns negative is
/// interpolated linearly between the speeds of the scan.
Headline headline(const damper::Curve& curve, double top_speed);

/// Adds the force of the plugs in their cups near the ends of the stroke, 0 where `model` has none.
void add_end_cups(Headline& headline, const damper::Model& model);

/// Adds from which speed the ports of the valves that damp lead.
void add_ports(Headline& headline, const std::vector<damper::PortControl>& ports);

/// Adds from which speed shims pass the limits of their strip.
void add_stress(Headline& headline, const study::StressOnset& onset);

/// Adds static support: sag where `with_sag`, forces over the travel, the energy to its end. Throws
/// InputError where `setup` has no support, or no load with `with_sag`.
void add_support(Headline& headline, const damper::SetUp& setup, bool with_sag);

Json json(const Headline& headline);

/// Without its speed: "refill deficit"; "damping force on rebound".
std::string family_words(const Figure& figure);

/// "refill deficit at 1 m/s"; "voids on rebound".
std::string words(const Figure& figure);

/// "1.20 bar"; "from 1.30 m/s" or "none up to 4 m/s".
std::string value_words(const Figure& figure, double top_speed);

/// The number as in a table: "1.20"; "none".
std::string value_cell(const Figure& figure);

/// Smallest step that a tuner can read in the tables or feel, beside 1 % [SI].
double smallest_step(Quantity quantity);

/// Step that a rider notices, from the figure's value `from` [SI]. See rule_of_order().
double noticeable_step(Quantity quantity, double from);

/// Unit of value_cell(): "bar".
std::string_view unit(Quantity quantity);

} // namespace valve::report
