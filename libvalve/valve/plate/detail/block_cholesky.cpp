#include <valve/plate/detail/block_cholesky.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::plate {

namespace {

// Blocks are of one to twenty rows. Eigen's products and substitutions are made for larger ones: these loops
// take half of their time.

/// y −= c x of n numbers.
inline void subtract(double* __restrict y, double c, const double* __restrict x, Eigen::Index n) {
    for (Eigen::Index i = 0; i < n; ++i)
        y[i] -= c * x[i];
}

/// Of the lower half of `a`, n rows: a −= b bᵀ.
void subtract_square(Eigen::MatrixXd& a, const Eigen::MatrixXd& b, Eigen::Index n, Eigen::Index columns) {
    for (Eigen::Index k = 0; k < columns; ++k)
        for (Eigen::Index j = 0; j < n; ++j)
            subtract(&a(j, j), b(j, k), &b(j, k), n - j);
}

/// The lower half of `a`, n rows, becomes its Cholesky factor; false if it is not positive definite.
bool factor_in_place(Eigen::MatrixXd& a, Eigen::Index n) {
    for (Eigen::Index j = 0; j < n; ++j) {
        if (!(a(j, j) > 0.0)) return false;
        const double pivot = a(j, j) = std::sqrt(a(j, j));
        for (Eigen::Index i = j + 1; i < n; ++i)
            a(i, j) /= pivot;
        for (Eigen::Index k = j + 1; k < n; ++k)
            subtract(&a(k, k), a(k, j), &a(k, j), n - k);
    }
    return true;
}

/// The leading `rows` of `b`: b L⁻ᵀ, L of n rows.
void divide_by_transpose(Eigen::MatrixXd& b, const Eigen::MatrixXd& L, Eigen::Index rows, Eigen::Index n) {
    for (Eigen::Index j = 0; j < n; ++j) {
        for (Eigen::Index i = 0; i < rows; ++i)
            b(i, j) /= L(j, j);
        for (Eigen::Index k = j + 1; k < n; ++k)
            subtract(&b(0, k), L(k, j), &b(0, j), rows);
    }
}

/// x becomes L⁻¹ x.
void divide(double* x, const Eigen::MatrixXd& L, Eigen::Index n) {
    for (Eigen::Index j = 0; j < n; ++j) {
        x[j] /= L(j, j);
        subtract(x + j + 1, x[j], &L(j, j) + 1, n - j - 1);
    }
}

/// x becomes L⁻ᵀ x.
void divide_by_transpose(double* x, const Eigen::MatrixXd& L, Eigen::Index n) {
    for (Eigen::Index j = n; j-- > 0;) {
        for (Eigen::Index i = j + 1; i < n; ++i)
            x[j] -= L(i, j) * x[i];
        x[j] /= L(j, j);
    }
}

} // namespace

BlockTridiagonal::BlockTridiagonal(std::vector<int> sizes) : m_sizes(std::move(sizes)) {
    for (std::size_t k = 0; k < m_sizes.size(); ++k) {
        m_offsets.push_back(m_rows);
        m_rows += m_sizes[k];
        m_diagonal.emplace_back(Eigen::MatrixXd::Zero(m_sizes[k], m_sizes[k]));
        if (k + 1 < m_sizes.size()) m_upper.emplace_back(Eigen::MatrixXd::Zero(m_sizes[k], m_sizes[k + 1]));
    }
}

void BlockTridiagonal::set_zero() {
    for (Eigen::MatrixXd& block : m_diagonal)
        block.setZero();
    for (Eigen::MatrixXd& block : m_upper)
        block.setZero();
}

void BlockTridiagonal::multiply(const Eigen::VectorXd& x, Eigen::VectorXd& result) const {
    result.setZero();
    for (int k = 0; k < stations(); ++k) {
        result.segment(offset(k), size(k)).noalias() += diagonal(k) * x.segment(offset(k), size(k));
        if (k + 1 == stations()) break;
        result.segment(offset(k), size(k)).noalias() += upper(k) * x.segment(offset(k + 1), size(k + 1));
        result.segment(offset(k + 1), size(k + 1)).noalias() +=
            upper(k).transpose() * x.segment(offset(k), size(k));
    }
}

BlockCholesky::BlockCholesky(const BlockTridiagonal& pattern) {
    int largest = 0;
    for (int k = 0; k < pattern.stations(); ++k) {
        Station station;
        const int n = pattern.size(k);
        station.rows.reserve(static_cast<std::size_t>(n));
        station.lower.setZero(n, n);
        if (k + 1 < pattern.stations()) station.next.setZero(pattern.size(k + 1), n);
        m_stations.push_back(std::move(station));
        m_offsets.push_back(pattern.offset(k));
        largest = std::max(largest, n);
    }
    m_work.setZero(pattern.rows());
}

bool BlockCholesky::factor(const BlockTridiagonal& matrix, const std::vector<char>& chosen) {
    for (int k = 0; k < matrix.stations(); ++k) {
        Station& station = m_stations[static_cast<std::size_t>(k)];
        station.rows.clear();
        for (int i = 0; i < matrix.size(k); ++i)
            if (chosen[static_cast<std::size_t>(matrix.offset(k) + i)]) station.rows.push_back(i);
        station.count = static_cast<int>(station.rows.size());
    }
    for (int k = 0; k < matrix.stations(); ++k) {
        Station& station = m_stations[static_cast<std::size_t>(k)];
        const int n = station.count;
        Eigen::MatrixXd& lower = station.lower;
        for (int j = 0; j < n; ++j)
            for (int i = j; i < n; ++i)
                lower(i, j) = matrix.diagonal(k)(station.rows[static_cast<std::size_t>(i)],
                                                 station.rows[static_cast<std::size_t>(j)]);
        if (k > 0) {
            const Station& before = m_stations[static_cast<std::size_t>(k - 1)];
            subtract_square(lower, before.next, n, before.count);
        }
        if (!factor_in_place(lower, n)) return false;
        if (k + 1 == matrix.stations()) break;

        const Station& after = m_stations[static_cast<std::size_t>(k + 1)];
        for (int j = 0; j < n; ++j)
            for (int i = 0; i < after.count; ++i)
                station.next(i, j) = matrix.upper(k)(station.rows[static_cast<std::size_t>(j)],
                                                     after.rows[static_cast<std::size_t>(i)]);
        divide_by_transpose(station.next, lower, after.count, n);
    }
    return true;
}

void BlockCholesky::solve(Eigen::VectorXd& x) const {
    // The chosen rows of station k sit in m_work from its offset on.
    for (std::size_t k = 0; k < m_stations.size(); ++k) {
        const Station& station = m_stations[k];
        double* const here = &m_work[m_offsets[k]];
        for (int i = 0; i < station.count; ++i)
            here[i] = x[m_offsets[k] + station.rows[static_cast<std::size_t>(i)]];
        if (k > 0) {
            const Station& before = m_stations[k - 1];
            for (int j = 0; j < before.count; ++j)
                subtract(here, m_work[m_offsets[k - 1] + j], before.next.col(j).data(), station.count);
        }
        divide(here, station.lower, station.count);
    }
    for (std::size_t k = m_stations.size(); k-- > 0;) {
        const Station& station = m_stations[k];
        double* const here = &m_work[m_offsets[k]];
        if (k + 1 < m_stations.size()) {
            const Station& after = m_stations[k + 1];
            for (int j = 0; j < station.count; ++j)
                for (int i = 0; i < after.count; ++i)
                    here[j] -= station.next(i, j) * m_work[m_offsets[k + 1] + i];
        }
        divide_by_transpose(here, station.lower, station.count);
        for (int i = 0; i < station.count; ++i)
            x[m_offsets[k] + station.rows[static_cast<std::size_t>(i)]] = here[i];
    }
}

} // namespace valve::plate
