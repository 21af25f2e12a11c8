#pragma once

#include <valve/damper/model.hpp>

#include <array>
#include <cstddef>
#include <limits>
#include <optional>
#include <string>
#include <vector>

namespace valve::damper {

/// The lowest rod speed at which something begins, as a magnitude.
struct Onset {
    enum class Kind {
        none,                ///< it does not hold up to the top speed
        from_first_movement, ///< it holds at any speed above rest, and so at OnsetSearch::slowest
        from_speed,          ///< it holds at `speed`, and at no lower one
        ended                ///< it does not hold up to `speed`, beyond which nothing is known
    };
    Kind kind = Kind::none;
    double speed = 0.0;   ///< [m/s]; zero from the first movement, the top speed for none
    std::string why = {}; ///< the search ended

    /// The speed from which it holds; zero from the first movement; none where none was found [m/s].
    std::optional<double> from() const;
};

/// Top speed of searches for onsets where nobody states one [m/s].
inline constexpr double usual_top_speed = 4.0;

/// By which the preload of a mid-valve may outdo the base at first [Pa]: our choice, no source.
inline constexpr double margin_trifle = 0.1e5;

/// Searches a damper at one travel for the lowest speeds at which typed conditions first hold, from rest to a
/// top speed, whatever speeds are asked elsewhere. A stroke is scanned once for all conditions, no further
/// than they ask; the scan looks into dips between its speeds, since pressures can dip and recover. An onset
/// is then closed in to 1e-12 of itself, or 1e-12 m/s.
class OnsetSearch {
public:
    /// `model` must outlive the search. Throws std::invalid_argument unless `top_speed` [m/s] is positive.
    OnsetSearch(const Model& model, double travel, double top_speed);

    const Model& model() const { return m_model; }
    double travel() const { return m_travel; }       ///< [m]
    double top_speed() const { return m_top_speed; } ///< [m/s]

    /// `chamber` reaches the cavitation pressure: C on rebound, R in compression, S never by itself.
    Onset voids(Chamber chamber);

    /// The balance margin falls below zero, in compression, and on to -`margin_trifle` at least: less is
    /// none.
    Onset margin_below_zero();

    /// The ports of the valve at `place` lose more pressure than the curtain.
    Onset ports_lead(Place place);

    /// The pressure on the face shim of the valve at `place` exceeds `pressure` [Pa].
    Onset pressure_above(Place place, double pressure);

    /// Where the pressure on the face shim of the valve at `place` is no longer known, if at `up_to` [m/s] or
    /// slower; none where it is known up to there.
    std::optional<Onset> broken_off(Place place, double up_to);

    /// The cup at the end of `end` runs empty, its plug leaving it.
    Onset cup_empty(Stroke end);

    /// The gap round the plug that enters the cup at the end of `end` has a Reynolds number above `limit`.
    Onset cup_reynolds_above(Stroke end, double limit);

    /// Highest pressure on the face shim of the valve at `place` that the scan of its stroke meets, up to its
    /// first speed from `up_to` on [Pa]; zero where there is no valve.
    double highest_pressure(Place place, double up_to = std::numeric_limits<double>::infinity());

    /// The valve at `place` works beyond the end of its lift curve.
    Onset beyond_curve(Place place);

    /// Speed that counts as the first movement [m/s].
    static constexpr double slowest = 1e-6;

private:
    /// States of a stroke at rising speeds, as many as were asked for.
    struct Scan {
        std::vector<double> speeds; // magnitudes [m/s]
        std::vector<NetworkState> states;
        std::string error; // why there are no more
    };

    Scan& scan(Stroke stroke);
    /// Whether the scan has a state at its speed `index`, which is then solved.
    bool reaches(Stroke stroke, std::size_t index);
    NetworkState state(Stroke stroke, double speed) const;

    template <class Condition>
    Onset find(Stroke stroke, const Condition& condition);
    template <class Condition>
    Onset find_in(const Scan& scan, Stroke stroke, const Condition& condition, double& reached);

    const Model& m_model;
    double m_travel = 0.0;
    double m_top_speed = 0.0;
    std::array<std::optional<Scan>, 2> m_scans; // by Stroke
};

} // namespace valve::damper
