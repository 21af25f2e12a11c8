#include <valve/core/error.hpp>
#include <valve/plate/detail/eigenvalues.hpp>

#include <Spectra/MatOp/SparseSymMatProd.h>
#include <Spectra/MatOp/SymShiftInvert.h>
#include <Spectra/SymGEigsShiftSolver.h>

#include <algorithm>
#include <numeric>
#include <stdexcept>
#include <vector>

// The only source that includes Spectra: it takes as long to compile as all others of this folder together.

namespace valve::plate {

Eigenpairs lowest_eigenpairs(const Eigen::SparseMatrix<double>& K, const Eigen::SparseMatrix<double>& M,
                             int count, double shift) {
    const Eigen::Index size = K.rows();
    if (K.cols() != size || M.rows() != size || M.cols() != size || count < 1 || count >= size)
        throw std::invalid_argument("lowest_eigenpairs: sizes do not fit");
    if (!(shift < 0.0)) throw std::invalid_argument("lowest_eigenpairs: the shift is not below zero");

    Eigen::VectorXd scale = K.diagonal() - shift * M.diagonal();
    if (!(scale.minCoeff() > 0.0))
        throw std::invalid_argument("lowest_eigenpairs: an unknown has neither stiffness nor mass");
    scale = scale.cwiseSqrt().cwiseInverse();
    const Eigen::SparseMatrix<double> A = scale.asDiagonal() * K * scale.asDiagonal();
    Eigen::SparseMatrix<double> B = scale.asDiagonal() * M * scale.asDiagonal();
    B *= -shift; // else the method's tolerance on 1/(λ − shift) would be an absolute one

    using Inverse = Spectra::SymShiftInvert<double, Eigen::Sparse, Eigen::Sparse>;
    using Product = Spectra::SparseSymMatProd<double>;
    Inverse inverse(A, B);
    Product product(B);
    const int krylov = static_cast<int>(std::min<Eigen::Index>(size, std::max(4 * count, 20)));
    Spectra::SymGEigsShiftSolver<Inverse, Product, Spectra::GEigsMode::ShiftInvert> solver(
        inverse, product, count, krylov, -1.0);
    solver.init();
    constexpr int most_restarts = 300;
    constexpr double accuracy = 1e-10;
    solver.compute(Spectra::SortRule::LargestMagn, most_restarts, accuracy);
    if (solver.info() != Spectra::CompInfo::Successful)
        throw SolveError("the natural frequencies were not found: Lanczos' method did not converge");

    const Eigen::VectorXd values = -shift * solver.eigenvalues();
    const Eigen::MatrixXd vectors = scale.asDiagonal() * solver.eigenvectors();
    std::vector<Eigen::Index> order(static_cast<std::size_t>(values.size()));
    std::iota(order.begin(), order.end(), Eigen::Index{0});
    std::sort(order.begin(), order.end(),
              [&](Eigen::Index a, Eigen::Index b) { return values[a] < values[b]; });
    Eigenpairs pairs{Eigen::VectorXd(values.size()), Eigen::MatrixXd(vectors.rows(), vectors.cols())};
    for (std::size_t i = 0; i < order.size(); ++i) {
        pairs.values[static_cast<Eigen::Index>(i)] = values[order[i]];
        pairs.vectors.col(static_cast<Eigen::Index>(i)) = vectors.col(order[i]);
    }
    return pairs;
}

} // namespace valve::plate
