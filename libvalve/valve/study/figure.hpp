#pragma once

#include <valve/study/ride_event.hpp>

#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace valve::study {

class Evaluation;

/// What a figure tells of a set-up, in the order in which a tuner should hear it.
enum class Quantity {
    void_onset_rebound,
    void_onset_compression,
    void_onset_near_extension_rebound,
    void_onset_near_extension_compression,
    dead_travel_compression,
    dead_travel_rebound,
    largest_void,
    refill_deficit,
    balance_negative_from,
    balance_margin,
    headroom_R,
    damping_force,
    peak_force_compression,
    peak_force_rebound,
    end_force,
    static_force,
    reservoir_friction,
    felt_reservoir_friction,
    ports_lead_base_compression,
    ports_lead_piston_compression,
    ports_lead_piston_rebound,
    shims_set_from,
    shims_life_from,
    rider_sag,
    free_sag,
    friction,
    breakaway,
    support_force,
    hit_travel,
    heavy_load_travel,
    support_energy,
    // of a ride over an event
    peak_travel,
    travel_left,
    residual_travel,
    mean_travel,
    travel_drift,
    start_travel,
    packing,
    closing_speed,
    metal_speed,
    extension_speed,
    peak_speed_compression,
    peak_speed_rebound,
    ride_dead_travel_compression,
    ride_dead_travel_rebound,
    rms_acceleration,
    peak_acceleration,
    small_bump_acceleration,
    stuck_share,
    wheel_load_variation,
    low_load_share,
    off_ground_share,
    largest_void_C,
    largest_void_R,
    temperature_rise,
};

/// What a figure measures.
enum class Measure {
    speed,
    pressure,
    force,
    length,
    energy,
    short_length,
    volume,
    acceleration,
    share, ///< of time or of a load
    warming
};

/// How a measure is written and judged.
struct Scale {
    std::string_view suffix; ///< of keys whose value is in SI: "_Pa"
    std::string_view unit;   ///< of the trade: "bar"
    double in_si = 1.0;      ///< one of that unit
    int digits = 0;          ///< decimals in that unit that a workshop can use
    double smallest = 0.0;   ///< step that a tuner can read in the tables or feel, beside 1 % [SI]
    double noticeable = 0.0; ///< step that a rider notices [SI], common practice without a source, or
    double share = 0.0;      ///< this share of the value, if that is more [-]
};

const Scale& scale(Measure measure);

/// Whether a figure is asked for with a speed, a share of the travel, a frequency, or an event.
enum class Asked { never, may_be, always };

/// Stroke that a figure with a speed belongs to.
enum class Way { both, compression, rebound };

/// Which figure is meant: its quantity, and where it needs them the rod speed, negative on rebound [m/s], the
/// share of the full travel [-], the frequency of a cycle of the usual stroke [Hz], and the event of a ride.
struct FigureRequest {
    Quantity quantity = Quantity::damping_force;
    std::optional<double> speed = std::nullopt;
    std::optional<double> travel_share = std::nullopt;
    std::optional<double> frequency = std::nullopt;
    RideEvent event = {};

    bool operator==(const FigureRequest&) const = default;
};

/// One row of the table of figures: all that is known of a figure before it is computed.
struct FigureKind {
    Quantity quantity = Quantity::damping_force;
    std::string_view key;   ///< with the unit, as in JSON: "refill_deficit_Pa"
    std::string_view words; ///< "refill deficit"
    Measure measure = Measure::force;
    Asked speed = Asked::never;
    Asked travel_share = Asked::never;
    Asked frequency = Asked::never;
    Way way = Way::both;
    bool is_onset = false;   ///< a speed that may be "none up to the top speed"
    double noticeable = 0.0; ///< in place of the scale's, where above 0
    /// The value [SI]; none: an onset that is not reached. Throws SolveError, and InputError for a set-up
    /// that does not say enough.
    std::optional<double> (*value)(Evaluation& of, const FigureRequest& request) = nullptr;
    Asked event = Asked::never;
    /// What it is called where there may be none, which counts as 0: "not met" of an end of the travel,
    /// "nothing met" of what counts from when the wheel meets the event.
    std::string_view if_none = {};

    std::string_view name() const; ///< the key without the unit, as goals and files give it: "refill_deficit"
};

/// The table, in the order of Quantity.
std::span<const FigureKind> figure_kinds();

const FigureKind& kind_of(Quantity quantity);

/// The row of a name or key ("damping_force", "damping_force_N"). Throws InputError, with the nearest name,
/// for one that is not there.
const FigureKind& kind_named(std::string_view name);

/// Throws InputError where a request lacks or has too much of what its quantity needs.
void check(const FigureRequest& request);

/// Step that a rider notices, from the figure's value `from` [SI].
double noticeable_step(Quantity quantity, double from);

/// How many reversals dead travel over a ride is the largest of, and how many it leaves out.
struct Reversals {
    int count = 0;
    int not_back = 0; ///< of these: where the damping never came back before the greatest speed
};

/// One number that sums up a set-up, in SI. Without a value: an onset not reached up to the top speed, what
/// there may be none of (FigureKind::if_none), or, with `error`, not solved.
struct Figure {
    Quantity quantity = Quantity::damping_force;
    std::optional<double> speed; ///< rod speed it belongs to, negative on rebound [m/s]
    std::optional<double> value;
    std::string error;
    std::optional<double> travel_share = std::nullopt; ///< of the full travel, that it belongs to [-]
    std::optional<double> frequency = std::nullopt;    ///< of the cycle that it belongs to [Hz]
    RideEvent event = {};
    /// Of dead travel that hangs on a dip (CycleFigures::but_for_dips_compression) [m].
    std::optional<double> but_for_dips = std::nullopt;
    bool swings =
        false; ///< of a cycle or a ride in which valves swing by themselves, so that it tells little
    Reversals reversals = {}; ///< of dead travel over a ride
    /// Of the travel that a hit uses, where it uses all: what springs, gas and friction do not take of it
    /// [J].
    std::optional<double> energy_left = std::nullopt;

    FigureRequest request() const { return {quantity, speed, travel_share, frequency, event}; }
};

/// The number that a figure counts as: an onset that is not reached as `top_speed`, what there is none of as
/// 0 [SI].
double number(const Figure& figure, double top_speed);

} // namespace valve::study
