#pragma once

#include <memory>
#include <optional>
#include <vector>

namespace valve::motion {

/// What a valve is in motion at one lift, coming from one side.
struct ProfileSide {
    double area = 0.0; ///< A: load per unit of p_eff along y, ∫ q ∂w_1/∂y dA [m²]
    double mass = 0.0; ///< m: of metal and oil, as y feels it [kg]
    std::optional<double> pressure_slope =
        std::nullopt;      ///< of p_stat along y [Pa/m]; none: of its neighbours
    double friction = 0.0; ///< that sliding between shims adds to p_stat or takes off it [Pa]
};

/// A stack, or a disc, at one lift of its static curve; at an event the two sides differ.
struct ProfilePoint {
    double lift = 0.0;     ///< y, of the seat [m]
    double pressure = 0.0; ///< p_stat, that holds it there [Pa]
    ProfileSide below;
    ProfileSide above;
};

/// Points of a profile that are costly, part by part, upwards.
class ProfileSource {
public:
    ProfileSource() = default;
    virtual ~ProfileSource() = default;
    ProfileSource(const ProfileSource&) = delete;
    ProfileSource& operator=(const ProfileSource&) = delete;

    /// The next part, the first at a lift of 0. Its first point is the last of the part before, whose side
    /// above counts no more. Every side has a slope of its own. Empty: there is no more.
    virtual std::vector<ProfilePoint> next() = 0;
};

/// What moves with the seat lift of a valve, along the states of its lift curve: cubics through pressures and
/// their slopes, which nowhere fall, straight lines through areas, masses and frictions. Slopes, areas,
/// masses and frictions jump at events. Copies share one curve; threads may ask at the same time.
class Profile {
public:
    /// `points` by rising lift from 0, two or more; pressures rising, areas and masses positive,
    /// frictions not negative; `stop`, a lift at which motion ends [m]. Throws std::invalid_argument
    /// otherwise.
    explicit Profile(const std::vector<ProfilePoint>& points, std::optional<double> stop = std::nullopt);

    /// Known as far up as it is asked, without a stop. Throws what the source does for its first part, and
    /// as above. Later parts that are no profile end it.
    explicit Profile(std::unique_ptr<ProfileSource> source);

    struct Value {
        double pressure = 0.0;
        double pressure_slope = 0.0; ///< along y
        double area = 0.0;
        double area_slope = 0.0;
        double mass = 0.0;
        double mass_slope = 0.0;
        double friction = 0.0; ///< as of ProfileSide
        double friction_slope = 0.0;
        bool beyond = false; ///< the curve has ended; pressure goes on along its last slope
    };

    /// At any lift; below 0 as at 0.
    Value at(double lift) const { return curve(lift).at(lift); }

    /// ∫ A p_stat dy from the seat: what the spring and the plates have stored [J].
    double energy(double lift) const { return curve(lift).energy(lift); }

    double crack_pressure() const { return m_crack_pressure; } ///< p_stat(0) [Pa]
    double end() const;                                        ///< of the curve as far as it is known [m]
    const std::optional<double>& stop() const { return m_stop; }

private:
    /// A curve that does not change.
    class Known {
    public:
        explicit Known(const std::vector<ProfilePoint>& points);
        Value at(double lift) const;
        double energy(double lift) const;
        double crack_pressure() const { return m_pressure.front(); }
        double end() const { return m_lift.back(); }

    private:
        void set_slopes(const std::vector<ProfilePoint>& points);
        Value inside(std::size_t interval, double lift) const;
        double work(std::size_t interval, double to) const;

        std::vector<double> m_lift;
        std::vector<double> m_pressure;
        std::vector<double> m_slope_begin; // of the pressure, in the intervals
        std::vector<double> m_slope_end;
        std::vector<double> m_energy;     // likewise
        std::vector<ProfileSide> m_begin; // of the intervals
        std::vector<ProfileSide> m_end;
    };
    struct Growing;

    /// The curve, known beyond `lift` if there is more.
    const Known& curve(double lift) const;

    std::shared_ptr<const Known> m_known; // of a curve that is known throughout
    std::shared_ptr<Growing> m_growing;   // else
    std::optional<double> m_stop;
    double m_crack_pressure = 0.0;
};

} // namespace valve::motion
