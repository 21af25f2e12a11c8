#pragma once

#include <valve/core/root.hpp>
#include <valve/motion/event.hpp>

#include <cstddef>
#include <memory>
#include <optional>
#include <stop_token>
#include <vector>

namespace valve::motion {

namespace detail {
class Road;
struct Rolled;
} // namespace detail

/// The ground of an event as a rigid wheel sees it: the height of its lowest point above level ground,
///   z_e(s) = max over |u| ≤ R of [z_r(s + u) + √(R² − u²)] − R.
/// Edges and half-sine bumps are exact, piece by piece: where contact goes over from one part of the ground
/// to another the slope, or its slope, jumps. A measured profile is straight lines between points. A rough
/// road is a sum of sines by points every 5 mm and a spline: one road for a seed, from where it begins on,
/// whatever is ridden of it. Over both z_e and its slope are exact every 5 mm, closer where contact moves
/// fast, cubics between (for a point over a measured profile, monotone ones through heights alone), and
/// pieces end where the slope jumps by more than a five-hundredth.
class Ground {
public:
    /// Of an event without errors; `radius` R of the wheel, 0 for a point [m]. Time goes with the length of a
    /// road. Throws Stopped.
    explicit Ground(const Event& event, double radius, const std::stop_token& stop = {});

    /// The ground itself, without wheel [m].
    double profile(double s) const;

    /// Distances at which a piece ends and the next begins, rising, both ends of the run included [m].
    const std::vector<double>& breaks() const { return m_breaks; }

    /// z_e [m] and its slope along the distance [-], within a piece, its ends included.
    ValueSlope at(std::size_t piece, double s) const;

    /// Where z_e first leaves level ground [m]; of a landing the start. None: it never does.
    const std::optional<double>& begin() const { return m_begin; }

    /// Where z_e leaves level ground for each bump of a row [m]; those within the run.
    const std::vector<double>& bump_begins() const { return m_bump_begins; }

private:
    /// A part of the ground that is concave from `from` to `to`, so that a wheel touches it in one point.
    struct Part {
        double from = 0.0;
        double to = 0.0;
        double level = 0.0;  // of the flat, or at the foot of the bump
        double height = 0.0; // of a bump over it; 0: flat
        double value(double s) const;
        double slope(double s) const;
    };
    /// What touches: a part, and which of its ends (−1, 1) or what lies between (0).
    struct Contact {
        std::size_t part = 0;
        int place = 0;
        double height = 0.0;
        double slope = 0.0;
        bool same(const Contact& other) const { return part == other.part && place == other.place; }
    };

    void add_parts(const Event& event);
    void ride_on(const Event& event, double length, const std::stop_token& stop);
    void find_pieces(double length, const std::stop_token& stop);
    std::vector<double> places(double length) const;
    std::optional<Contact> touch(std::size_t part, double s) const;
    Contact touch_inside(std::size_t part, double s, double low, double high) const;
    Contact contact(double s) const;

    double m_radius;
    std::vector<Part> m_parts;
    std::vector<double> m_breaks;
    std::vector<Contact> m_contacts; // of the pieces
    std::optional<double> m_begin;
    std::vector<double> m_bump_begins;
    std::shared_ptr<const detail::Road> m_road; // that is given by points
    std::shared_ptr<const detail::Rolled> m_rolled;
};

} // namespace valve::motion
