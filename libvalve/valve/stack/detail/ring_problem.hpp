#pragma once

#include <valve/plate/detail/ring_element.hpp>
#include <valve/stack/detail/problem.hpp>

#include <map>
#include <vector>

namespace valve::stack {

/// A stack that bends in any shape of a RingBasis: a Problem with the angle.
///
/// Stations and leaves are those of the round problem. At a station every opening, and every slope, is there
/// once for each node of the basis, so that contact bounds one unknown each; what moves in the plane follows,
/// leaf by leaf. The ports open an arc of the coverage about node 0 of each pitch; a stack without windows
/// bears its mean load all round. The float's spring is an even bed under its ring.
///
/// Leaves touch at their faces, half their thickness off their middles along their own normals. Where both
/// slope alike that leaves them
///   w_2 − w_1 − h (w'² + w_θ²/r²)/2,
/// apart, h between their middles at rest; where a rim touches alone, the slope is that of the other leaf, of
/// the lower one in a stack that tapers. So an opening is how much wider that is than at rest, with the slope
/// of the leaf from which w is counted, and stays a bound on one unknown. A round problem leaves h out, and a
/// round shape of a stack of several leaves is no state of both.
class RingProblem final : public Potential {
public:
    /// `round` must outlive this, be of large deflection and no guided float.
    RingProblem(const Problem& round, const plate::RingBasis& basis);

    Theory theory() const override { return Theory::large_deflection; }
    int size() const override { return m_offsets.back(); }
    const Eigen::VectorXd& lower() const override { return m_lower; }
    const Eigen::VectorXd& upper() const override { return m_upper; }
    double energy(const Eigen::VectorXd& x, double pressure) const override;
    void differentiate(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& gradient) const override;
    const Eigen::VectorXd& load(const Eigen::VectorXd& x) const override;
    void assemble(const Eigen::VectorXd& x, double pressure, double squeeze, Eigen::VectorXd& gradient,
                  plate::BlockTridiagonal& tangent) const override;
    plate::BlockTridiagonal make_tangent() const override;
    double force_scale(double pressure) const override { return m_round.force_scale(pressure); }
    double thinnest() const override { return m_round.thinnest(); }
    double largest_deflection(const Eigen::VectorXd& x) const override;
    double seat_height() const override { return m_round.seat_height(); }

    const Problem& round() const { return m_round; }
    const plate::RingBasis& basis() const { return m_basis; }

    /// Index of opening `place` at a station and a node of the basis.
    int opening(int station, int place, int node) const;

    /// Adds waves of the pressure's share `share` to the load, or takes them off (0).
    void press_unevenly(double share);

    /// Pushes every leaf's rim with a line load of waves: `force` times cos k N θ [N] over the ring, k from 1
    /// up to the harmonics of the basis, without a mean. Taken off by a force of zero.
    void push_in_waves(int harmonic, double force);

    /// Unknowns of a round shape whose unknowns in the round problem are `x`.
    Eigen::VectorXd from_round(const Eigen::VectorXd& x) const;

    /// Deflections [m] of the face shim at a station, at the nodes of the basis.
    Eigen::VectorXd face_lift(const Eigen::VectorXd& x, int station) const;

    /// Deflections [m] and slopes along the radius of a leaf at a station, at the nodes of the basis.
    struct LeafAt {
        Eigen::VectorXd w;
        Eigen::VectorXd slope;
    };
    LeafAt leaf_at(const Eigen::VectorXd& x, int leaf, int station) const;

    /// How fast both change at `x` as its unknowns change by `rate`.
    Eigen::VectorXd face_rate(const Eigen::VectorXd& x, const Eigen::VectorXd& rate, int station) const;
    LeafAt leaf_rate(const Eigen::VectorXd& x, const Eigen::VectorXd& rate, int leaf, int station) const;

    /// What the load has swept, each part by its share of the pressure [m³].
    double swept(const Eigen::VectorXd& x) const;

    /// Largest von Mises stress of each leaf, in its first shim, on either face at any node and angle.
    std::vector<StressPeak> peak_stresses(const Eigen::VectorXd& x, double pressure) const;

    /// The steepest slope of any leaf at a node, along the radius or round it [rad].
    double steepest(const Eigen::VectorXd& x) const;

private:
    struct Leaf {
        int last_station = 0;
        double D = 0.0;
        double C = 0.0;
        const std::vector<plate::RingElement>* elements = nullptr;
    };

    /// w of the leaf at place `of` of a station, in its middle, counted from that of the one at place `from`;
    /// in its own leaf from that of its first shim, or last where it is counted down.
    struct Link {
        int from = 0;
        int of = 0;
        int opening = 0;    ///< place of the opening between them
        double side = 1.0;  ///< −1: `of` is the lower one
        double apart = 0.0; ///< h, of what is counted, at rest, but for what is clear between leaves [m]

        bool in_leaf() const { return from == of; }
    };

    /// A leaf at a station, in harmonics.
    struct Node;

    void set_bounds();
    void lay_load(double unevenness);
    int count_at(int station) const { return static_cast<int>(m_round.present(station).size()); }
    int place_of(int station, int leaf) const;
    int slope_at(int station, int place) const; ///< first of the nodes'
    int in_plane_at(int station, int place) const;
    void lay_links();

    /// Whether opening 0 of a station is w of the last shim there, since a stop bounds that.
    bool counts_from_top(int station) const { return station == m_round.stop_station(); }

    /// Unknowns with w of the leaves' middles in place of the openings, how fast these change, and the
    /// transposed map of forces; of the tangent, with what the forces of contact add.
    void to_deflections(const Eigen::VectorXd& x, Eigen::VectorXd& y) const;
    void to_rates(const Eigen::VectorXd& x, const Eigen::VectorXd& rate, Eigen::VectorXd& y_rate) const;
    void to_opening_forces(const Eigen::VectorXd& x, const Eigen::VectorXd& y, Eigen::VectorXd& forces) const;
    void to_openings(const Eigen::VectorXd& x, const Eigen::VectorXd& y, double squeeze,
                     Eigen::VectorXd& gradient, plate::BlockTridiagonal& tangent) const;
    void turn_to(int station, const Link& link, const Eigen::VectorXd& x, const Eigen::VectorXd& y) const;
    void pass_on(int station, const Link& link, Eigen::VectorXd& forces) const;
    template <class Rows>
    void put_openings(int station, Rows&& rows) const;
    LeafAt leaf_in(const Eigen::VectorXd& y, int leaf, int station) const;
    void gather(const Eigen::VectorXd& y, int leaf, int element) const;
    double add_spring(const Eigen::VectorXd& y, Eigen::VectorXd* gradient,
                      plate::BlockTridiagonal* tangent) const;

    const Problem& m_round;
    plate::RingBasis m_basis;
    std::map<double, std::vector<plate::RingElement>> m_elements; ///< by Poisson's ratio
    std::vector<Leaf> m_leaves;
    std::vector<int> m_offsets;             ///< one more than stations
    std::vector<std::vector<Link>> m_links; ///< by station, from where w is counted from on
    Eigen::VectorXd m_lower;
    Eigen::VectorXd m_upper;
    Eigen::VectorXd m_load;
    Eigen::VectorXd m_load_under_stop; ///< where w of the lowest leaf is no unknown: on that
    Eigen::VectorXd m_push;            ///< of waves, whatever the pressure, on w of leaves
    Eigen::VectorXd m_shares;          ///< of the load at a radius, at the nodes of the basis
    Eigen::MatrixXd m_bed;             ///< mean round the ring of products of the basis' functions
    // Scratch.
    mutable plate::RingElement::Work m_work;
    mutable Eigen::VectorXd m_deflections;
    mutable Eigen::VectorXd m_load_at;
    mutable Eigen::VectorXd m_tilt;       ///< of a link: w_θ/r of the leaf it counts from, at the nodes
    mutable Eigen::VectorXd m_slope;      ///< ... what w gains by its w'
    mutable Eigen::VectorXd m_push_apart; ///< its force times how far it is apart
    mutable Eigen::MatrixXd m_carry;      ///< ... what w gains by its w
    mutable Eigen::MatrixXd m_turned;
    mutable Eigen::MatrixXd m_rows;
    mutable Eigen::MatrixXd m_columns;
    mutable Eigen::VectorXd m_q;
    mutable Eigen::VectorXd m_force;
    mutable Eigen::MatrixXd m_stiffness;
};

} // namespace valve::stack
