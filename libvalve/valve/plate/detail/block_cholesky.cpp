#include <valve/plate/detail/block_cholesky.hpp>

#include <Eigen/Cholesky>

#include <algorithm>
#include <utility>

namespace valve::plate {

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
        if (n == 0) continue; // nothing to factor, and Eigen's products divide by their sizes
        Eigen::Block<Eigen::MatrixXd> lower = station.lower.topLeftCorner(n, n);
        for (int j = 0; j < n; ++j)
            for (int i = j; i < n; ++i)
                lower(i, j) = matrix.diagonal(k)(station.rows[static_cast<std::size_t>(i)],
                                                 station.rows[static_cast<std::size_t>(j)]);
        if (k > 0 && m_stations[static_cast<std::size_t>(k - 1)].count > 0) {
            const Station& before = m_stations[static_cast<std::size_t>(k - 1)];
            lower.selfadjointView<Eigen::Lower>().rankUpdate(before.next.topLeftCorner(n, before.count),
                                                             -1.0);
        }
        const Eigen::LLT<Eigen::Ref<Eigen::MatrixXd>> in_place(lower);
        if (in_place.info() != Eigen::Success) return false;
        if (k + 1 == matrix.stations()) break;

        const Station& after = m_stations[static_cast<std::size_t>(k + 1)];
        if (after.count == 0) continue;
        Eigen::Block<Eigen::MatrixXd> next = station.next.topLeftCorner(after.count, n);
        for (int j = 0; j < n; ++j)
            for (int i = 0; i < after.count; ++i)
                next(i, j) = matrix.upper(k)(station.rows[static_cast<std::size_t>(j)],
                                             after.rows[static_cast<std::size_t>(i)]);
        lower.triangularView<Eigen::Lower>().transpose().solveInPlace<Eigen::OnTheRight>(next);
    }
    return true;
}

void BlockCholesky::solve(Eigen::VectorXd& x) const {
    // The chosen rows of station k sit in m_work from its offset on.
    for (std::size_t k = 0; k < m_stations.size(); ++k) {
        const Station& station = m_stations[k];
        if (station.count == 0) continue;
        auto here = m_work.segment(m_offsets[k], station.count);
        for (int i = 0; i < station.count; ++i)
            here[i] = x[m_offsets[k] + station.rows[static_cast<std::size_t>(i)]];
        if (k > 0 && m_stations[k - 1].count > 0) {
            const Station& before = m_stations[k - 1];
            here.noalias() -= before.next.topLeftCorner(station.count, before.count) *
                              m_work.segment(m_offsets[k - 1], before.count);
        }
        station.lower.topLeftCorner(station.count, station.count)
            .triangularView<Eigen::Lower>()
            .solveInPlace(here);
    }
    for (std::size_t k = m_stations.size(); k-- > 0;) {
        const Station& station = m_stations[k];
        if (station.count == 0) continue;
        auto here = m_work.segment(m_offsets[k], station.count);
        if (k + 1 < m_stations.size() && m_stations[k + 1].count > 0) {
            const Station& after = m_stations[k + 1];
            here.noalias() -= station.next.topLeftCorner(after.count, station.count).transpose() *
                              m_work.segment(m_offsets[k + 1], after.count);
        }
        station.lower.topLeftCorner(station.count, station.count)
            .triangularView<Eigen::Lower>()
            .transpose()
            .solveInPlace(here);
        for (int i = 0; i < station.count; ++i)
            x[m_offsets[k] + station.rows[static_cast<std::size_t>(i)]] = here[i];
    }
}

} // namespace valve::plate
