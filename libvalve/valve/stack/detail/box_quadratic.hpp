#pragma once

#include <valve/plate/detail/following_cholesky.hpp>

#include <vector>

namespace valve::stack {

/// Where an unknown stands within its bounds.
enum class Hold : char { free, lower, upper };

/// How a minimum is found: by the active set and, where that cycles, the interior point; or by the interior
/// point alone.
enum class Method { either, interior_point };

/// Minimum of a convex quadratic ½ (x − o)ᵀ K (x − o) + gᵀ (x − o) within bounds on single unknowns.
///
/// Two methods, each for what it does well.
/// The primal-dual active set (hintermueller_ito_kunisch_2002)
/// changes all contacts at once and settles in a few rounds from a near guess, but may cycle, for plates are
/// no M-matrix. The interior-point method (mehrotra_1992; nocedal_wright_2006, 16.6) always ends, in some 10
/// to 30 factorisations whatever the start; it leaves every contact a little open, so its end is the active
/// set's guess.
class BoxQuadratic {
public:
    /// Bounds of each unknown; equal where it is held. They must outlive this.
    BoxQuadratic(const plate::BlockTridiagonal& pattern, const Eigen::VectorXd& lower,
                 const Eigen::VectorXd& upper);
    BoxQuadratic(const BoxQuadratic&) = delete; // bounds are another's
    BoxQuadratic& operator=(const BoxQuadratic&) = delete;

    /// A quadratic and what its rounding can resolve.
    struct Model {
        plate::BlockTridiagonal& K; ///< its diagonal is altered while a solve runs, and put back
        const Eigen::VectorXd& origin;
        const Eigen::VectorXd& gradient;        ///< at the origin
        const Eigen::VectorXd& force_tolerance; ///< of each unknown; of a multiplier's sign
        double force_scale;                     ///< of all multipliers together
        bool exact = true; ///< with a step of iterative refinement; false where the caller corrects the end
    };

    /// From the guess `x`, `hold` to the minimum. False where K is not positive definite on the unknowns
    /// left free, or neither method ends. Afterwards K is at hand, factored on the free unknowns.
    bool solve(const Model& model, Eigen::VectorXd& x, std::vector<Hold>& hold,
               Method method = Method::either);

    /// Frees contacts that pull and takes up those that overlap, `gradient` being that at `x`; returns how
    /// many, none at the minimum.
    int mend(const Eigen::VectorXd& x, const Eigen::VectorXd& gradient,
             const Eigen::VectorXd& force_tolerance, std::vector<Hold>& hold) const;

    /// K⁻¹ `v` on the unknowns that the last solve left free, zero on the others, by its factorisation.
    void solve_free(Eigen::VectorXd& v) const;

    /// Whether the last solve ended by the active set, with what is held on its bound; the interior point
    /// leaves it a little off.
    bool on_bounds() const { return m_on_bounds; }

    int factorisations() const { return m_factorisations; } ///< of all solves

private:
    struct Bound {
        Eigen::Index index = 0;
        double side = 1.0; ///< 1: lower, −1: upper
        double at = 0.0;
        double distance = 0.0; ///< s > 0, meets side (x − at) at the end
        double force = 0.0;    ///< z > 0
        double distance_step = 0.0;
        double force_step = 0.0;
    };

    bool active_set(const Model& model, Eigen::VectorXd& x, std::vector<Hold>& hold);
    bool interior_point(const Model& model, Eigen::VectorXd& x, std::vector<Hold>& hold);
    void move_held(const Model& model, const std::vector<Hold>& hold, Eigen::VectorXd& x);
    bool factor_free(const Model& model, const std::vector<Hold>& hold, bool same_K);
    void move_free(Eigen::VectorXd& x);
    void set_gradient(const Model& model, const Eigen::VectorXd& x);
    void newton_step(double centre, bool corrected);
    double longest_step() const;
    bool factor_barrier(plate::BlockTridiagonal& K);
    double gap_tolerance(const Eigen::VectorXd& x) const;

    const Eigen::VectorXd& m_lower;
    const Eigen::VectorXd& m_upper;
    plate::FollowingCholesky m_cholesky;
    std::vector<Bound> m_bounds;
    std::vector<char> m_bounded; ///< those held by equal bounds are not: they never change
    std::vector<char> m_free;
    Eigen::VectorXd m_step;
    Eigen::VectorXd m_trial;
    Eigen::VectorXd m_gradient; ///< of the model; in the interior point, less the forces of the bounds
    Eigen::VectorXd m_diagonal; ///< of K, while its own is altered
    Eigen::VectorXd m_interior_x;
    std::vector<Hold> m_interior_hold;
    bool m_on_bounds = true;
    int m_factorisations = 0;
};

} // namespace valve::stack
