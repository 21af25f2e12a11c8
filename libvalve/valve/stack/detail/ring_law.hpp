#pragma once

#include <valve/stack/detail/cubic.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/uneven.hpp>

#include <map>
#include <optional>
#include <vector>

namespace valve::stack {

/// The flow law of a stack that is not round, made as far up as it is asked for.
///
/// It begins where waves grow, at the round shape's lift, or where the shim over windows opens. From there it
/// stands on the rungs of the path, with their own slopes. What the round shape's lift is more than that
/// which waves grow out of, since faces are no middles, is taken off evenly up to the first rung. An interval
/// between two rungs is looked into when it is first asked for: where the slopes at its ends say that it is
/// all but straight, the cubic through them is taken; else the state half-way is solved, and halves again,
/// until the cubic has met it. So no value depends on what was asked before.
class RingLaw {
public:
    /// Where the law begins [Pa], the lift there, and how much more that is than the path's [m].
    struct Begin {
        double pressure = 0.0;
        double lift = 0.0;
        double more = 0.0;
    };

    /// The path must outlive this, and have its rung 0. The law ends at `most` [Pa] if not before.
    RingLaw(RingPath& path, const Begin& begin, double most) : m_path(path), m_begin(begin), m_most(most) {}

    const Begin& begin() const { return m_begin; }

    /// At `pressure` [Pa]; at the beginning and below the lift there. At a rung nothing but its state is
    /// solved. Beyond the end lifts go on along their last slopes.
    UnevenLawValue at(double pressure);

    /// The next rung above `pressure` [Pa], or the end; infinite beyond that.
    double next(double pressure);

    /// Where the law ends: the theory, or the strip, at its limit, or lifts that fall [Pa].
    double end();

    /// A cubic is accepted where it misses by no more than this share of the lift, or this height [m].
    static constexpr double accuracy = 1e-3;
    static constexpr double resolution = 1e-7;

private:
    struct Knot {
        double pressure = 0.0;
        RingMeans means;
    };
    struct Piece {
        LiftCubic ring;
        LiftCubic open_arcs;
    };

    int rung_of(int knot);
    const Knot* knot(int number);
    std::optional<RingMeans> solve(double pressure, const RingMeans& below, const LiftLaw::Value& more = {});
    const std::vector<Piece>& pieces(int below);
    void divide(Piece piece, int below, bool is_sure, int depth, std::vector<Piece>& pieces);
    static UnevenLawValue value(const Piece& piece, double pressure);

    RingPath& m_path;
    Begin m_begin;
    double m_most = 0.0;
    std::map<int, Knot> m_knots;                ///< 0 the beginning, above it rungs
    std::map<int, std::vector<Piece>> m_pieces; ///< by the knot below them
    std::optional<int> m_first_rung;
    std::optional<int> m_last; ///< the knot at the end, once it is known
};

} // namespace valve::stack
