#pragma once

#include <valve/core/detail/index.hpp>

#include <Eigen/Core>

#include <array>

namespace valve::plate {

/// A matrix in memory of which a product reads or writes: `row` and `column` are the steps from one to the
/// next, those of its rows 1 unless it is transposed.
template <class Number>
struct Strided {
    Number* first = nullptr;
    Eigen::Index row = 1;
    Eigen::Index column = 0;
};

namespace small_product_detail {

template <int R, int C>
void multiply_tile(Eigen::Index inner, const double* a, Eigen::Index a_column, Strided<const double> b,
                   double* to, Eigen::Index to_column) {
    using Tile = Eigen::Matrix<double, R, 1>;
    std::array<Tile, C> sums;
    sums.fill(Tile::Zero());
    for (Eigen::Index p = 0; p < inner; ++p) {
        const Tile here = Eigen::Map<const Tile>(a);
        for (int c = 0; c < C; ++c)
            sums[at(c)] += b.first[c * b.column] * here;
        a += a_column;
        b.first += b.row;
    }
    for (int c = 0; c < C; ++c)
        Eigen::Map<Tile>(to + c * to_column) = sums[at(c)];
}

template <int C>
void multiply_columns(Eigen::Index rows, Eigen::Index inner, Strided<const double> a, Strided<const double> b,
                      Strided<double> to) {
    Eigen::Index row = 0;
    for (; row + 4 <= rows; row += 4)
        multiply_tile<4, C>(inner, a.first + row, a.column, b, to.first + row, to.column);
    if (row + 2 <= rows) {
        multiply_tile<2, C>(inner, a.first + row, a.column, b, to.first + row, to.column);
        row += 2;
    }
    if (row < rows) multiply_tile<1, C>(inner, a.first + row, a.column, b, to.first + row, to.column);
}

} // namespace small_product_detail

/// to = a b of matrices with some ten rows and columns, for which a general product sets up as much as it
/// costs: tiles of it stay in registers. Rows of `a` and `to` lie next to each other.
inline void multiply_small(Eigen::Index rows, Eigen::Index inner, Eigen::Index columns,
                           Strided<const double> a, Strided<const double> b, Strided<double> to) {
    using namespace small_product_detail;
    const auto go_on = [&](Eigen::Index taken) {
        columns -= taken;
        b.first += taken * b.column;
        to.first += taken * to.column;
    };
    while (columns >= 8 || columns == 5) {
        multiply_columns<5>(rows, inner, a, b, to);
        go_on(5);
    }
    if (columns >= 6) {
        multiply_columns<3>(rows, inner, a, b, to);
        go_on(3);
    }
    switch (columns) {
    case 4:
        return multiply_columns<4>(rows, inner, a, b, to);
    case 3:
        return multiply_columns<3>(rows, inner, a, b, to);
    case 2:
        return multiply_columns<2>(rows, inner, a, b, to);
    case 1:
        return multiply_columns<1>(rows, inner, a, b, to);
    default:
        return;
    }
}

} // namespace valve::plate
