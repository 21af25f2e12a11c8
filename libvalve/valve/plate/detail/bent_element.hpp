#pragma once

#include <valve/plate/detail/element.hpp>

namespace valve::plate {

/// What an axisymmetric bent state of one annular element does to small motions about it: its slope and its
/// membrane forces, at the eight Gauss points. Everything that depends on the radii and Poisson's ratio alone
/// is computed once.
class BentElement {
public:
    using Points = Eigen::Matrix<double, 8, 1>;

    struct State {
        Points slope;  ///< W' [-]
        Points radial; ///< N_r per unit of C [-]
        Points hoop;   ///< N_θ per unit of C [-]
    };

    /// Throws std::invalid_argument unless 0 < inner < outer [m].
    BentElement(double inner, double outer, double poisson_ratio);

    /// Of the displacement `bent`. Inside the element u is a quintic, whose inner unknowns minimise the
    /// membrane energy, as in Element.
    State state(const ElementVector& bent) const;

private:
    /// u at both ends and W'²/2 at the points.
    static constexpr int strains = 10;

    Eigen::Matrix<double, 8, 4> m_slope; ///< W' from (w1, w1', w2, w2')
    Eigen::Matrix<double, 8, strains> m_radial;
    Eigen::Matrix<double, 8, strains> m_hoop;
};

} // namespace valve::plate
