#pragma once

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

namespace valve::motion {

enum class Wave { sine, triangle, ramp, trace };

constexpr std::string_view name(Wave wave) {
    switch (wave) {
    case Wave::sine:
        return "sine";
    case Wave::triangle:
        return "triangle";
    case Wave::ramp:
        return "ramp";
    case Wave::trace:
        return "trace";
    }
    return "";
}

/// Where the rod is and how fast it goes in.
struct RodMotion {
    double travel = 0.0; ///< from full extension [m]
    double speed = 0.0;  ///< positive in compression [m/s]

    bool operator==(const RodMotion&) const = default;
};

/// What moves the rod, piece by piece: within a piece the speed has no jump; those of a sine, a triangle and
/// a ramp end where the rod turns, those of a trace where its times begin to follow far closer or wider.
/// Time begins at 0.
class Input {
public:
    /// x = x_0 − s/2 cos 2πft: from the outer end, `middle` x_0 and `stroke` s > 0 [m], `frequency` f > 0
    /// [Hz]. Throws std::invalid_argument for what is not positive or finite, as do the others.
    static Input sine(double middle, double stroke, double frequency);

    /// To and fro at one speed, 2 s f, from the outer end.
    static Input triangle(double middle, double stroke, double frequency);

    /// In at constant `speed` [m/s], out and in again, once; the last two make the loop.
    static Input ramp(double middle, double stroke, double speed);

    /// A measured travel [m], least_stroke or more from the least to the greatest, over time [s], rising, two
    /// points or more: monotone cubics between them, so that speed has no jump and nothing overshoots. Run
    /// through once.
    /// Source: fritsch_butland_1984.
    static Input trace(std::vector<double> times, std::vector<double> travels);

    static constexpr double least_stroke = 1e-9; ///< of a trace; one that moves less stands still [m]

    struct Piece {
        double begin = 0.0; ///< [s]
        double end = 0.0;
    };

    /// The piece with this number, from 0; of an input that is periodic there is no last one.
    Piece piece(std::size_t number) const;

    /// At time `t` within a piece, its ends included.
    RodMotion at(std::size_t piece, double t) const;

    Wave wave() const { return m_wave; }
    bool periodic() const { return m_wave == Wave::sine || m_wave == Wave::triangle; }
    std::size_t pieces_before_loop() const { return m_wave == Wave::ramp ? 1 : 0; }
    std::size_t pieces_in_loop() const;
    double loop_duration() const; ///< [s]

    /// The longest step in this piece that misses nothing of the motion [s].
    double longest_step(std::size_t piece) const;

    std::optional<double> frequency() const;   ///< [Hz]; none of what is run through once
    double stroke() const { return m_stroke; } ///< greatest travel less least [m]
    double least_travel() const { return m_middle - 0.5 * m_stroke; }    ///< [m]
    double greatest_travel() const { return m_middle + 0.5 * m_stroke; } ///< [m]
    double peak_speed() const { return m_peak_speed; }                   ///< largest magnitude [m/s]

private:
    Input() = default;

    Wave m_wave = Wave::sine;
    double m_middle = 0.0;
    double m_stroke = 0.0;
    double m_frequency = 0.0;
    double m_peak_speed = 0.0;
    std::vector<double> m_times; // of a trace
    std::vector<double> m_travels;
    std::vector<double> m_speeds;
    std::vector<std::size_t> m_breaks; // points between pieces, and both ends
};

} // namespace valve::motion
