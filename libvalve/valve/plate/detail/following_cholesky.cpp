#include <valve/core/detail/index.hpp>
#include <valve/plate/detail/following_cholesky.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::plate {
namespace {

/// Column `row` of the matrix.
void take_column(const BlockTridiagonal& matrix, int row, Eigen::VectorXd& column) {
    int k = 0;
    while (k + 1 < matrix.stations() && matrix.offset(k + 1) <= row)
        ++k;
    const int i = row - matrix.offset(k);
    column.setZero();
    column.segment(matrix.offset(k), matrix.size(k)) = matrix.diagonal(k).col(i);
    if (k > 0) column.segment(matrix.offset(k - 1), matrix.size(k - 1)) = matrix.upper(k - 1).col(i);
    if (k + 1 < matrix.stations())
        column.segment(matrix.offset(k + 1), matrix.size(k + 1)) = matrix.upper(k).row(i).transpose();
}

} // namespace

FollowingCholesky::FollowingCholesky(const BlockTridiagonal& pattern)
    : m_cholesky(pattern), m_factored(at(pattern.rows()), 0),
      // a factorisation costs as much as one solve for two or three rows of a station
      m_most_changes(pattern.rows() / (10 * pattern.stations())) {
    const auto most = at(m_most_changes);
    m_changes.reserve(most);
    m_columns.assign(most, Eigen::VectorXd::Zero(pattern.rows()));
    m_solved.assign(most, Eigen::VectorXd::Zero(pattern.rows()));
    m_border.setZero(m_most_changes, m_most_changes);
    m_base.setZero(pattern.rows());
    m_multipliers.setZero(m_most_changes);
}

bool FollowingCholesky::factor(const BlockTridiagonal& matrix, const std::vector<char>& chosen) {
    m_changes.clear();
    m_matrix = &matrix;
    m_factored = chosen;
    return m_cholesky.factor(matrix, chosen);
}

bool FollowingCholesky::follow(const std::vector<char>& chosen) {
    int changes = 0;
    for (std::size_t i = 0; i < chosen.size(); ++i)
        changes += chosen[i] != m_factored[i] ? 1 : 0;
    if (changes > m_most_changes) return false;
    for (int c = static_cast<int>(m_changes.size()) - 1; c >= 0; --c)
        if (chosen[at(m_changes[at(c)].row)] == m_factored[at(m_changes[at(c)].row)]) drop(c);
    for (std::size_t i = 0; i < chosen.size(); ++i)
        if (chosen[i] != m_factored[i]) add(static_cast<int>(i), chosen[i] != 0);
    return factor_border();
}

/// Borders by a row, unless it is there already.
void FollowingCholesky::add(int row, bool came) {
    for (const Change& change : m_changes)
        if (change.row == row) return;
    const std::size_t last = m_changes.size();
    m_changes.push_back({row, came});
    Eigen::VectorXd& solved = m_solved[last];
    if (came) {
        take_column(*m_matrix, row, m_columns[last]);
        for (Eigen::Index i = 0; i < solved.size(); ++i)
            solved[i] = m_factored[at(i)] ? m_columns[last][i] : 0.0;
    } else {
        solved.setZero();
        solved[row] = 1.0;
    }
    m_cholesky.solve(solved);
}

void FollowingCholesky::drop(int change) {
    const std::size_t last = m_changes.size() - 1;
    std::swap(m_changes[at(change)], m_changes[last]);
    m_columns[at(change)].swap(m_columns[last]);
    m_solved[at(change)].swap(m_solved[last]);
    m_changes.pop_back();
}

/// A column of U times `y`, which is zero but on the rows factored.
double FollowingCholesky::product(int change, const Eigen::VectorXd& y) const {
    const Change& its = m_changes[at(change)];
    return its.came ? m_columns[at(change)].dot(y) : y[its.row];
}

/// S = L D Lᵀ, without pivots: what comes makes it positive, what goes negative, in whatever order
/// (vanderbei_1995). False where that is not so, as the rows chosen are not positive definite, or all digits
/// went.
bool FollowingCholesky::factor_border() {
    constexpr double least = 1e-10; // of what an entry of D was before those above were taken off
    const int count = static_cast<int>(m_changes.size());
    for (int j = 0; j < count; ++j) {
        for (int i = j; i < count; ++i) {
            double own = 0.0;
            if (m_changes[at(i)].came && m_changes[at(j)].came) own = m_columns[at(i)][m_changes[at(j)].row];
            m_border(i, j) = own - product(i, m_solved[at(j)]);
        }
        double& pivot = m_border(j, j);
        const double before = std::abs(pivot);
        for (int p = 0; p < j; ++p)
            pivot -= m_border(j, p) * m_border(j, p) * m_border(p, p);
        if (!((m_changes[at(j)].came ? pivot : -pivot) > least * before)) return false;
        for (int i = j + 1; i < count; ++i) {
            for (int p = 0; p < j; ++p)
                m_border(i, j) -= m_border(i, p) * m_border(j, p) * m_border(p, p);
            m_border(i, j) /= pivot;
        }
    }
    return true;
}

void FollowingCholesky::solve(Eigen::VectorXd& x) const {
    const int count = static_cast<int>(m_changes.size());
    if (count == 0) return m_cholesky.solve(x);
    for (Eigen::Index i = 0; i < x.size(); ++i)
        m_base[i] = m_factored[at(i)] ? x[i] : 0.0;
    for (const Change& change : m_changes)
        m_base[change.row] = 0.0;
    m_cholesky.solve(m_base);
    Eigen::VectorXd& z = m_multipliers;
    for (int c = 0; c < count; ++c) {
        const Change& change = m_changes[at(c)];
        z[c] = (change.came ? x[change.row] : 0.0) - product(c, m_base);
        for (int p = 0; p < c; ++p)
            z[c] -= m_border(c, p) * z[p];
    }
    for (int c = count - 1; c >= 0; --c) {
        z[c] /= m_border(c, c);
        for (int p = c + 1; p < count; ++p)
            z[c] -= m_border(p, c) * z[p];
    }
    for (int c = 0; c < count; ++c)
        m_base -= z[c] * m_solved[at(c)];
    for (int c = 0; c < count; ++c) // those that went keep what they have
        m_base[m_changes[at(c)].row] = m_changes[at(c)].came ? z[c] : x[m_changes[at(c)].row];
    for (Eigen::Index i = 0; i < x.size(); ++i)
        if (m_factored[at(i)]) x[i] = m_base[i];
    for (const Change& change : m_changes)
        x[change.row] = m_base[change.row];
}

} // namespace valve::plate
