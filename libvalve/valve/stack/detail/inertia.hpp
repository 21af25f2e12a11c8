#pragma once

#include <valve/plate/detail/added_mass.hpp>
#include <valve/stack/detail/problem.hpp>

#include <vector>

namespace valve::stack {

/// Mass of metal and oil as the shims of a stack move, harmonic by harmonic round the ring. What does not
/// depend on their shape is computed once.
class Inertia {
public:
    /// Of shapes Σ_k w_k(r) cos kNθ, N = `waves`, up to k = `harmonics`; `problem` must outlive this.
    explicit Inertia(const Problem& problem, int waves = 0, int harmonics = 0);

    struct Sums {
        double metal = 0.0; ///< Σ_i ∫ ρ_s t_i w_i² dA, per square of what `shapes` are per [kg m²]
        double oil = 0.0;   ///< twice the oil's kinetic energy by its density, likewise [m³ m²]
    };

    /// Of harmonic `k` alone, the leaves' w_k and their slopes given at the stations. Different harmonics
    /// share no energy.
    Sums of(const Problem::Shapes& shapes, int k = 0) const;

private:
    struct Point {
        double area;                      ///< r dr [m²]
        Eigen::Vector4d shape;            ///< Hermite's, of (w1, w1', w2, w2')
        std::vector<Eigen::VectorXd> oil; ///< of each harmonic, AddedMass::shapes r dr
    };

    /// Calls `use(point, w)` at the integration points of the elements that a leaf reaches.
    template <class Use>
    void for_each_point(const Problem::Shapes& shapes, int leaf, const Use& use) const;
    double oil(const Problem::Shapes& shapes, int k) const;

    const Problem& m_problem;
    int m_waves = 0;
    std::vector<plate::AddedMass> m_oil; ///< of each harmonic
    std::vector<Point> m_points;
};

} // namespace valve::stack
