#pragma once

#include <Eigen/Core>

#include <vector>

namespace valve::plate {

/// A symmetric block-tridiagonal matrix: one dense block a station, coupled to the next station only. Block
/// sizes may differ. Memory is taken once, in the constructor.
class BlockTridiagonal {
public:
    explicit BlockTridiagonal(std::vector<int> sizes);

    int stations() const { return static_cast<int>(m_sizes.size()); }
    int size(int station) const { return m_sizes[static_cast<std::size_t>(station)]; }
    int offset(int station) const { return m_offsets[static_cast<std::size_t>(station)]; }
    int rows() const { return m_rows; }

    /// Block (k, k), both triangles.
    Eigen::MatrixXd& diagonal(int station) { return m_diagonal[static_cast<std::size_t>(station)]; }
    const Eigen::MatrixXd& diagonal(int station) const {
        return m_diagonal[static_cast<std::size_t>(station)];
    }

    /// Block (k, k + 1).
    Eigen::MatrixXd& upper(int station) { return m_upper[static_cast<std::size_t>(station)]; }
    const Eigen::MatrixXd& upper(int station) const { return m_upper[static_cast<std::size_t>(station)]; }

    void set_zero();

    /// result = A x.
    void multiply(const Eigen::VectorXd& x, Eigen::VectorXd& result) const;

private:
    std::vector<int> m_sizes;
    std::vector<int> m_offsets;
    int m_rows = 0;
    std::vector<Eigen::MatrixXd> m_diagonal;
    std::vector<Eigen::MatrixXd> m_upper;
};

/// Cholesky factorisation of the part of a block-tridiagonal matrix that belongs to chosen rows, the block
/// form of the banded factorisation (golub_van_loan_2013, 4.3.5 and 4.5.1).
/// Memory is taken once, for the largest choice.
class BlockCholesky {
public:
    explicit BlockCholesky(const BlockTridiagonal& pattern);

    /// Factors the rows and columns of `matrix` where `chosen` is true; false if they are not positive
    /// definite.
    bool factor(const BlockTridiagonal& matrix, const std::vector<char>& chosen);

    /// Solves in place on the chosen rows of `x`; the other rows are left as they are.
    void solve(Eigen::VectorXd& x) const;

private:
    struct Station {
        std::vector<int> rows; ///< chosen rows within the station
        int offset = 0;        ///< of the station's first row among all
        int first = 0;         ///< of its first chosen row among all that are chosen
        int height = 0;        ///< rows of the panel that are used: those chosen here and in the next station
        /// L of the station; below it the coupling of the next station to this one, times L⁻ᵀ; below that
        /// zeros.
        Eigen::MatrixXd panel;
        Eigen::VectorXd inverse; ///< one over the diagonal of L

        int count() const { return static_cast<int>(rows.size()); }
    };

    void fill(Station& station, const BlockTridiagonal& matrix, int k) const;

    std::vector<Station> m_stations;
    mutable Eigen::VectorXd m_work;
};

} // namespace valve::plate
