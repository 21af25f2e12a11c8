#include <valve/core/detail/index.hpp>
#include <valve/plate/detail/block_cholesky.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <type_traits>
#include <utility>

namespace valve::plate {
namespace {

// Blocks have a few to some hundred rows. Tiles of four rows and up to four columns stay in registers;
// general products set up as much for a small block as it costs.

constexpr int tile = 4;
using Tile = Eigen::Vector4d;

/// Four rows of a column.
Eigen::Map<const Tile> four(const double* rows) {
    return Eigen::Map<const Tile>(rows);
}

/// The same, to be written.
Eigen::Map<Tile> four(double* rows) {
    return Eigen::Map<Tile>(rows);
}

/// Columns in memory, `stride` numbers apart. Below the last row lie zeros for tiles that reach beyond it.
template <class Number>
struct Columns {
    Number* first = nullptr;
    Eigen::Index stride = 0;

    Number* row(int row, int column) const { return first + column * stride + row; }
};

/// Calls `take` with a number of columns, a constant, and the first of them: tile after tile, then what is
/// left. False as soon as that is.
template <class Take>
bool each_tile(int columns, const Take& take) {
    int first = 0;
    for (; first + tile <= columns; first += tile)
        if (!take(std::integral_constant<int, tile>(), first)) return false;
    switch (columns - first) {
    case 3:
        return take(std::integral_constant<int, 3>(), first);
    case 2:
        return take(std::integral_constant<int, 2>(), first);
    case 1:
        return take(std::integral_constant<int, 1>(), first);
    default:
        return true;
    }
}

/// The same from the last column to the first, with no answer.
template <class Take>
void each_tile_back(int columns, const Take& take) {
    const int whole = columns / tile * tile;
    switch (columns - whole) {
    case 3:
        take(std::integral_constant<int, 3>(), whole);
        break;
    case 2:
        take(std::integral_constant<int, 2>(), whole);
        break;
    case 1:
        take(std::integral_constant<int, 1>(), whole);
        break;
    default:
        break;
    }
    for (int first = whole - tile; first >= 0; first -= tile)
        take(std::integral_constant<int, tile>(), first);
}

/// sums[c] -= Σ_p columns(row … row + 3, p) columns(pivot + c, p) over the first `count` columns.
template <int C>
void subtract_products(std::array<Tile, C>& sums, Columns<const double> columns, int count, int row,
                       int pivot) {
    const double* rows = columns.row(row, 0);
    const double* factors = columns.row(pivot, 0);
    for (int p = 0; p < count; ++p) {
        const Tile here = four(rows);
        for (int c = 0; c < C; ++c)
            sums[at(c)] -= factors[c] * here;
        rows += columns.stride;
        factors += columns.stride;
    }
}

/// Columns that come before those of a panel, and reach its first rows only.
struct Before {
    Columns<const double> columns;
    int count = 0;
    int rows = 0;
};

/// Factors C columns of a panel from `pivot` on, once those to the left are; false where they are not
/// positive definite. `inverse`: one over the diagonal.
template <int C>
bool factor_columns(Columns<double> panel, int rows, int pivot, const Before& before, double* inverse) {
    for (int row = pivot; row < rows; row += tile) {
        std::array<Tile, C> sums;
        for (int c = 0; c < C; ++c)
            sums[at(c)] = four(panel.row(row, pivot + c));
        if (row < before.rows) subtract_products<C>(sums, before.columns, before.count, row, pivot);
        subtract_products<C>(sums, {panel.first, panel.stride}, pivot, row, pivot);
        for (int c = 0; c < C; ++c)
            four(panel.row(row, pivot + c)) = sums[at(c)];
    }
    for (int c = 0; c < C; ++c) {
        double* column = panel.row(0, pivot + c);
        const double square = column[pivot + c];
        if (!(square > 0.0)) return false;
        inverse[pivot + c] = 1.0 / std::sqrt(square);
        for (int row = pivot + c; row < rows; row += tile)
            four(column + row) *= inverse[pivot + c];
        for (int d = c + 1; d < C; ++d) {
            const double factor = column[pivot + d];
            for (int row = pivot + d; row < rows; row += tile)
                four(panel.row(row, pivot + d)) -= factor * four(column + row);
        }
    }
    return true;
}

/// Solves L z = x for C columns of a panel from `pivot` on, and takes what they bear off the rows below.
template <int C>
void substitute(Columns<const double> panel, int rows, int pivot, const double* inverse, double* x) {
    std::array<double, C> z{};
    for (int c = 0; c < C; ++c) {
        double left = x[pivot + c];
        for (int d = 0; d < c; ++d)
            left -= *panel.row(pivot + c, pivot + d) * z[at(d)];
        x[pivot + c] = z[at(c)] = left * inverse[pivot + c];
    }
    for (int row = pivot + C; row < rows; row += tile) {
        Tile left = four(x + row);
        for (int c = 0; c < C; ++c)
            left -= z[at(c)] * four(panel.row(row, pivot + c));
        four(x + row) = left;
    }
}

/// Solves Lᵀ z = x for C columns of a panel from `pivot` on, once the rows below are solved.
template <int C>
void substitute_back(Columns<const double> panel, int rows, int pivot, const double* inverse, double* x) {
    std::array<Tile, C> sums;
    sums.fill(Tile::Zero());
    for (int row = pivot + C; row < rows; row += tile) {
        const Tile here = four(x + row);
        for (int c = 0; c < C; ++c)
            sums[at(c)] += four(panel.row(row, pivot + c)).cwiseProduct(here);
    }
    for (int c = C - 1; c >= 0; --c) {
        double left = x[pivot + c] - sums[at(c)].sum();
        for (int d = c + 1; d < C; ++d)
            left -= *panel.row(pivot + d, pivot + c) * x[pivot + d];
        x[pivot + c] = left * inverse[pivot + c];
    }
}

bool all_zero(const double* x, int count) {
    return std::all_of(x, x + count, [](double value) { return value == 0.0; });
}

/// Adds C columns from `first` on, each times its x, to `sum`.
template <int C>
void add_columns(Columns<const double> columns, int rows, int first, const double* x, double* sum) {
    if (all_zero(x + first, C)) return;
    int row = 0;
    for (; row + tile <= rows; row += tile) {
        Tile here = four(sum + row);
        for (int c = 0; c < C; ++c)
            here += x[first + c] * four(columns.row(row, first + c));
        four(sum + row) = here;
    }
    for (; row < rows; ++row)
        for (int c = 0; c < C; ++c)
            sum[row] += x[first + c] * *columns.row(row, first + c);
}

/// Adds the products of C columns from `first` on with x to the sum of each.
template <int C>
void add_dots(Columns<const double> columns, int rows, int first, const double* x, double* sum) {
    std::array<Tile, C> sums;
    sums.fill(Tile::Zero());
    int row = 0;
    for (; row + tile <= rows; row += tile) {
        const Tile here = four(x + row);
        for (int c = 0; c < C; ++c)
            sums[at(c)] += four(columns.row(row, first + c)).cwiseProduct(here);
    }
    for (int c = 0; c < C; ++c)
        sum[first + c] += sums[at(c)].sum();
    for (; row < rows; ++row)
        for (int c = 0; c < C; ++c)
            sum[first + c] += *columns.row(row, first + c) * x[row];
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
        const Columns<const double> columns{diagonal(k).data(), diagonal(k).rows()};
        const double* x_here = x.data() + offset(k);
        const bool still = all_zero(x_here, size(k));
        double* to_here = result.data() + offset(k);
        each_tile(size(k), [&](auto count, int first) {
            add_columns<count>(columns, size(k), first, x_here, to_here);
            return true;
        });
        if (k + 1 == stations()) break;
        const Columns<const double> across{upper(k).data(), upper(k).rows()};
        const double* x_next = x.data() + offset(k + 1);
        double* to_next = result.data() + offset(k + 1);
        each_tile(size(k + 1), [&](auto count, int first) {
            add_columns<count>(across, size(k), first, x_next, to_here);
            if (!still) add_dots<count>(across, size(k), first, x_here, to_next);
            return true;
        });
    }
}

BlockCholesky::BlockCholesky(const BlockTridiagonal& pattern) {
    for (int k = 0; k < pattern.stations(); ++k) {
        const int n = pattern.size(k);
        const int next = k + 1 < pattern.stations() ? pattern.size(k + 1) : 0;
        Station station;
        station.offset = pattern.offset(k);
        station.rows.reserve(at(n));
        station.panel.setZero(n + next + tile - 1, n);
        station.inverse.setZero(n);
        m_stations.push_back(std::move(station));
    }
    m_work.setZero(pattern.rows() + tile - 1);
}

bool BlockCholesky::factor(const BlockTridiagonal& matrix, const std::vector<char>& chosen) {
    int first = 0;
    for (std::size_t k = 0; k < m_stations.size(); ++k) {
        Station& station = m_stations[k];
        station.first = first;
        station.rows.clear();
        for (int i = 0; i < matrix.size(static_cast<int>(k)); ++i)
            if (chosen[at(station.offset + i)]) station.rows.push_back(i);
        first += station.count();
        station.height = station.count();
        if (k > 0) m_stations[k - 1].height += station.count();
    }
    Before before;
    for (std::size_t k = 0; k < m_stations.size(); ++k) {
        Station& station = m_stations[k];
        fill(station, matrix, static_cast<int>(k));
        before.rows = station.count();
        const Columns<double> panel{station.panel.data(), station.panel.rows()};
        const bool positive = each_tile(station.count(), [&](auto columns, int pivot) {
            return factor_columns<columns>(panel, station.height, pivot, before, station.inverse.data());
        });
        if (!positive) return false;
        before = {{panel.row(station.count(), 0), panel.stride}, station.count(), 0};
    }
    return true;
}

/// The chosen rows and columns of station `k` of the matrix, its lower triangle alone, and its coupling to
/// the next.
void BlockCholesky::fill(Station& station, const BlockTridiagonal& matrix, int k) const {
    for (int j = 0; j < station.count(); ++j) {
        const int column = station.rows[at(j)];
        double* to = station.panel.col(j).data() + j;
        const double* diagonal = matrix.diagonal(k).col(column).data();
        for (auto row = station.rows.begin() + j; row != station.rows.end(); ++row)
            *to++ = diagonal[*row];
        if (station.height > station.count()) {
            const double* upper = matrix.upper(k).row(column).data();
            for (const int row : m_stations[at(k + 1)].rows)
                *to++ = upper[row * matrix.size(k)];
        }
        std::fill_n(to, tile - 1, 0.0);
    }
}

void BlockCholesky::solve(Eigen::VectorXd& x) const {
    for (const Station& station : m_stations)
        for (int i = 0; i < station.count(); ++i)
            m_work[station.first + i] = x[station.offset + station.rows[at(i)]];
    m_work.segment<tile - 1>(m_stations.back().first + m_stations.back().count()).setZero();

    for (const Station& station : m_stations)
        each_tile(station.count(), [&](auto columns, int pivot) {
            substitute<columns>({station.panel.data(), station.panel.rows()}, station.height, pivot,
                                station.inverse.data(), m_work.data() + station.first);
            return true;
        });
    for (auto station = m_stations.rbegin(); station != m_stations.rend(); ++station)
        each_tile_back(station->count(), [&](auto columns, int pivot) {
            substitute_back<columns>({station->panel.data(), station->panel.rows()}, station->height, pivot,
                                     station->inverse.data(), m_work.data() + station->first);
        });

    for (const Station& station : m_stations)
        for (int i = 0; i < station.count(); ++i)
            x[station.offset + station.rows[at(i)]] = m_work[station.first + i];
}

} // namespace valve::plate
