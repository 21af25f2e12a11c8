#pragma once

#include <Eigen/Core>

#include <vector>

namespace valve::plate {

/// Functions of the angle on half a pitch of a pattern that repeats `waves` times round the circle and is
/// symmetric about both ends of the half, as w and u are: w = w(r) C_j(θ) for the nodes j = 0 … M. The
/// trigonometric cardinal functions C_j, sums of cos kNθ up to k = M, are 1 at their node and 0 at the
/// others, so that what bounds w at a node bounds one unknown. What moves in the plane is a sum of harmonics
/// up to k = K, u of cosines and v of sines. Source: boyd_2001, appendix F.
class RingBasis {
public:
    /// `waves` N ≥ 1, `intervals` M ≥ 1 between nodes, `harmonics` K of what moves in the plane, M ≤ K ≤ 2M.
    /// Throws std::invalid_argument for others.
    RingBasis(int waves, int intervals, int harmonics);

    int waves() const { return m_waves; }
    int intervals() const { return m_intervals; }
    int nodes() const { return m_intervals + 1; }
    int harmonics() const { return m_harmonics; }
    int in_plane() const { return 2 * m_harmonics + 1; } ///< u_0 … u_K, v_1 … v_K

    /// Angle of node j [rad].
    double angle(int node) const;

    /// C_j = Σ_k coefficients(k, j) cos kNθ.
    const Eigen::MatrixXd& coefficients() const { return m_coefficients; }

    /// The mean round the circle of p(θ) C_j(θ) for a pressure p that is 1 on an arc of the share `coverage`
    /// of each pitch about node 0 and 0 elsewhere. Their sum is `coverage`.
    Eigen::VectorXd shares(double coverage) const;

    /// dC_j/dθ at node i, in row i.
    const Eigen::MatrixXd& slopes_at_nodes() const { return m_slopes_at_nodes; }

    // At the angles of integration: C_j and its derivative; the sums that make harmonics of cosines and of
    // sines (row 0: zero) of what is known there.
    const Eigen::MatrixXd& values() const { return m_values; }
    const Eigen::MatrixXd& slopes() const { return m_slopes; }
    const Eigen::MatrixXd& to_cosines() const { return m_to_cosines; }
    const Eigen::MatrixXd& to_sines() const { return m_to_sines; }

    // The same transposed: products read them down their columns.
    const Eigen::MatrixXd& coefficients_by_node() const { return m_coefficients_by_node; }
    const Eigen::MatrixXd& values_by_node() const { return m_values_by_node; }
    const Eigen::MatrixXd& slopes_by_node() const { return m_slopes_by_node; }
    const Eigen::MatrixXd& of_cosines() const { return m_of_cosines; }
    const Eigen::MatrixXd& of_sines() const { return m_of_sines; }

private:
    int m_waves;
    int m_intervals;
    int m_harmonics;
    Eigen::MatrixXd m_coefficients;
    Eigen::MatrixXd m_slopes_at_nodes;
    Eigen::MatrixXd m_values;
    Eigen::MatrixXd m_slopes;
    Eigen::MatrixXd m_to_cosines;
    Eigen::MatrixXd m_to_sines;
    Eigen::MatrixXd m_coefficients_by_node;
    Eigen::MatrixXd m_values_by_node;
    Eigen::MatrixXd m_slopes_by_node;
    Eigen::MatrixXd m_of_cosines;
    Eigen::MatrixXd m_of_sines;
};

/// One annular element of unit stiffness that bends in any shape of a RingBasis: Element, with the angle.
///
/// Unknowns, at the inner node and then at the outer: w at the nodes of the basis, w' at them, then what
/// moves in the plane, u_0 … u_K and v_1 … v_K.
///
/// Bending: Kirchhoff's, as FourierElement, harmonic by harmonic. Membrane: the von Kármán strains
///   ε_r = u' + w'²/2, ε_θ = (u + v_θ)/r + w_θ²/2r², γ = v' − v/r + u_θ/r + w' w_θ/r.
/// What w adds to them is split into harmonics, each of which meets its own u and v, quintics inside the
/// element whose inner unknowns are minimised out once and for all. Strains of w beyond the K-th harmonic are
/// left out, as if u and v followed them: they fall as fast as the harmonics of w do. Where w does not change
/// with the angle, it is Element.
class RingElement {
public:
    static constexpr int points = 5;           ///< along the radius, that carry the strains of w
    static constexpr int strains = 3 * points; ///< of a harmonic

    /// Throws std::invalid_argument unless 0 < inner < outer [m].
    RingElement(double inner, double outer, double poisson_ratio, const RingBasis& basis);

    double inner() const { return m_inner; }
    double outer() const { return m_outer; }
    int unknowns() const { return 2 * m_per_node; }
    int per_node() const { return m_per_node; }

    /// What a call needs; taken once for elements of one basis.
    struct Work {
        explicit Work(const RingBasis& basis);

        Eigen::MatrixXd w;         ///< w and w' [node][4], or their forces
        Eigen::MatrixXd bent;      ///< what bends, [harmonic][4]
        Eigen::MatrixXd bending;   ///< its conjugates
        Eigen::MatrixXd at_nodes;  ///< [node][point]
        Eigen::MatrixXd slope;     ///< w' at the angles [angle][point]
        Eigen::MatrixXd round;     ///< w_θ/r
        Eigen::MatrixXd at_angles; ///< [angle][point]
        Eigen::MatrixXd sums;      ///< harmonics of such, [harmonic][point]
        Eigen::MatrixXd stretched; ///< what w adds to the strains, then u and v at both ends [19][harmonic]
        Eigen::MatrixXd forces;    ///< their conjugates
        Eigen::MatrixXd pull;      ///< the conjugates at the angles [angle][strain]
        Eigen::MatrixXd scaled;    ///< functions times what is at the angles, [what, point, node][angle]
        Eigen::MatrixXd cosines;   ///< their harmonics, [what, point, node][harmonic]
        Eigen::MatrixXd sines;
        Eigen::MatrixXd by_w;      ///< derivatives of a harmonic's strains by w and w' [4, node][strain]
        Eigen::MatrixXd all_roots; ///< the same, times the roots of its stiffness, of all harmonics
        Eigen::MatrixXd coupling;  ///< the same, times what it has with u and v at the ends
        Eigen::MatrixXd pulled;    ///< functions times forces at the angles [angle][point, node]
        Eigen::MatrixXd products;  ///< of functions [node, node][what, point]
        Eigen::MatrixXd blocks;    ///< of the geometric tangent [node, node][pair]
        Eigen::MatrixXd shears;
        Eigen::MatrixXd ww; ///< tangent of w and w', its upper blocks
    };

    /// Energy [J] of a plate of stiffnesses `D` [N m] and `C` [N/m] at the unknowns `q`.
    double energy(double D, double C, const Eigen::VectorXd& q, Work& work) const;

    /// Its gradient, which is overwritten, and energy.
    double differentiate(double D, double C, const Eigen::VectorXd& q, Work& work,
                         Eigen::VectorXd& force) const;

    /// Its gradient and tangent, which are overwritten. The tangent's geometric part keeps the share
    /// `squeeze` of compressive membrane forces: with 1 it is exact, with 0 positive semi-definite.
    double assemble(double D, double C, const Eigen::VectorXd& q, double squeeze, Work& work,
                    Eigen::VectorXd& force, Eigen::MatrixXd& stiffness) const;

private:
    /// Per unit of C, on what w adds to the strains and on u1, u2, v1, v2.
    static constexpr int in_law = strains + 4;
    using Law = Eigen::Matrix<double, in_law, in_law>;

    /// Membrane of one harmonic.
    struct Harmonic {
        Law law;
        Eigen::MatrixXd root;   ///< rows whose squares sum up to what the law has of the strains alone
        Eigen::MatrixXd across; ///< what it has of the ends with the strains, [part][strain]
    };

    /// Strains of w that u and v undo altogether cost nothing: those of r s (1 − s) times quadratics, three
    /// of u and, but for a round shape, three of v. Those are the rows that a root needs no more.
    static int rank(int k) { return k == 0 ? 2 * points - 3 : strains - 6; }
    static int parts(int k) { return k == 0 ? 2 : 4; } ///< in the plane, at the ends: a round shape turns not

    Harmonic membrane(int k, double poisson_ratio) const;
    double find_forces(double C, const Eigen::VectorXd& q, Work& work) const;
    void pull_apart(Work& work) const;
    void add_forces(Work& work, Eigen::VectorXd& force) const;
    void squeeze_pull(double squeeze, Work& work) const;
    void add_geometric(Work& work) const;
    void find_functions(Work& work) const;
    void find_derivatives(int k, Work& work) const;
    double find_bending(double D, const Eigen::VectorXd& q, Work& work) const;
    void add_bending(Work& work, Eigen::VectorXd& force) const;
    int column(int part) const;     ///< of w1, w1', w2, w2' among the unknowns
    int end(int part, int k) const; ///< of u1, u2, v1, v2 of a harmonic

    double m_inner;
    double m_outer;
    const RingBasis* m_basis;
    int m_per_node;
    Eigen::MatrixXd m_bending;                    ///< of (w1, w1', w2, w2'), each at all nodes
    std::vector<Eigen::Matrix4d> m_bending_apart; ///< by harmonic, see FourierElement
    std::vector<Harmonic> m_membrane;
    Eigen::Matrix<double, points, 4> m_hermite; ///< w/r at the points
    Eigen::Matrix<double, points, 4> m_slope;   ///< w'
    // What the products of functions at the points have in the ten upper blocks of the geometric tangent.
    Eigen::Matrix<double, strains, 10> m_in_blocks;
    Eigen::Matrix<double, points, 10> m_shear_in_blocks; ///< of the transposed of those of shear
};

} // namespace valve::plate
