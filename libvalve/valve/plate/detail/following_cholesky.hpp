#pragma once

#include <valve/plate/detail/block_cholesky.hpp>

#include <vector>

namespace valve::plate {

/// A BlockCholesky that follows a few rows that are chosen, or no longer, without a factorisation: it borders
/// the rows that were factored by those that differ (gill_murray_saunders_wright_1990).
/// Each costs one solve. With K factored, U the columns of the rows that came and unit columns of those that
/// went, and V what they have among themselves, it factors S = V − Uᵀ K⁻¹ U.
/// Memory is taken once.
class FollowingCholesky {
public:
    explicit FollowingCholesky(const BlockTridiagonal& pattern);

    /// As BlockCholesky.
    bool factor(const BlockTridiagonal& matrix, const std::vector<char>& chosen);

    /// Goes on to other rows of the matrix that was factored last, which is as it was then. False, and
    /// nothing at hand, where so many differ that a factorisation costs less, or S is not as that of a
    /// positive definite matrix.
    bool follow(const std::vector<char>& chosen);

    /// As BlockCholesky.
    void solve(Eigen::VectorXd& x) const;

private:
    /// A row that differs from those factored.
    struct Change {
        int row = 0;
        bool came = false; ///< else it went
    };

    void add(int row, bool came);
    void drop(int change);
    double product(int change, const Eigen::VectorXd& y) const;
    bool factor_border();

    BlockCholesky m_cholesky;
    const BlockTridiagonal* m_matrix = nullptr; ///< the last that was factored
    std::vector<char> m_factored;               ///< its rows
    int m_most_changes;
    std::vector<Change> m_changes;
    std::vector<Eigen::VectorXd> m_columns; ///< of U, a row that came whole; of one that went nothing
    std::vector<Eigen::VectorXd> m_solved;  ///< K⁻¹ U
    Eigen::MatrixXd m_border;               ///< L below the diagonal and D on it of S = L D Lᵀ
    mutable Eigen::VectorXd m_base;
    mutable Eigen::VectorXd m_multipliers;
};

} // namespace valve::plate
