#pragma once

#include <Eigen/SparseCore>

namespace valve::plate {

/// Lowest solutions of K φ = λ M φ, λ rising; φ are columns.
struct Eigenpairs {
    Eigen::VectorXd values;
    Eigen::MatrixXd vectors;
};

/// The `count` eigenvalues nearest to `shift`, which is below zero and above no eigenvalue wanted, so that a
/// rigid motion, λ = 0, is no special case. By Lanczos' method on (K − shift M)⁻¹ M. K and M are symmetric,
/// both triangles given, M positive semi-definite: unknowns without mass follow the others, for the method
/// never leaves the range of its operator (nour_omid_1987).
/// Unknowns are scaled to a unit diagonal, for elements of plates are conditioned as size⁻⁴, and λ to the
/// shift.
/// Throws std::invalid_argument for matrices that do not fit and a shift that is not below zero, SolveError
/// where the method does not converge.
Eigenpairs lowest_eigenpairs(const Eigen::SparseMatrix<double>& K, const Eigen::SparseMatrix<double>& M,
                             int count, double shift);

} // namespace valve::plate
