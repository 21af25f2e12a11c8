#pragma once

#include <valve/damper/model.hpp>

#include <limits>

namespace valve::motion::detail {

/// The reservoir's law in time, which goes on beyond both ends of the room that its piston has. One on a
/// spring rests on its stop once it has given all its oil; the refill then draws on a cushion of `cushion`
/// [m³], in which the pressure falls towards none. One that is full gives way by as little. The steady law
/// refuses both, but after every full extension there is the one for a moment, in a hard hit the other.
class MovingReservoir {
public:
    static constexpr double cushion = 2e-8; // [m³]

    /// `model` must outlive this.
    explicit MovingReservoir(const damper::Model& model);

    // As damper::ReservoirLaw
    double pressure(double travel, double volume);
    double stiffness(double volume, double pressure) const;
    double work(double volume) const;

    /// Whether it can take in no more than gives way.
    bool is_full(double volume) const { return volume > m_room; }

    bool rests() const { return m_rests; } ///< on a stop once it has given all its oil
    double room() const { return m_room; } ///< that it has [m³]; may be infinite

private:
    double gas_pressure(double volume);

    const damper::ReservoirLaw& m_law;
    double m_gas_volume = 0.0; // of gas that only the oil taken in compresses [m³]; 0: none
    double m_exponent = 1.0;
    double m_near_room = 0.0;     // of that gas, where its law was last asked [m³]; 0: nowhere yet
    double m_near_pressure = 0.0; // there [Pa]
    bool m_rests;                 // on a stop, a spring pressing it there
    double m_least;               // there, absolute [Pa]
    double m_room = std::numeric_limits<double>::infinity(); // [m³]
    double m_most = 0.0;                                     // where it is full, absolute [Pa]
};

} // namespace valve::motion::detail
