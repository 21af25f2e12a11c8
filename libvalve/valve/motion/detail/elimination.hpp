#pragma once

#include <cstddef>
#include <vector>

namespace valve::motion::detail {

/// I − γ J factorised, J by columns, with partial pivoting, of the unknowns that others depend on, or that
/// depend on others. What stands alone, as a valve that is shut, stays as it is. Unknowns that meet the
/// fewest others come first, so that those of a valve hardly meet those of another before the pressures, and
/// only what is not zero counts.
class Elimination {
public:
    explicit Elimination(std::size_t size);

    void set_gamma(double gamma) { m_gamma = gamma; }

    /// False for a matrix that is singular.
    bool factorise(const double* jacobian);

    /// `all` from the right-hand side to the solution.
    void solve(double* all);

private:
    double* column(std::size_t j) { return m_factors.data() + j * m_unknown.size(); }
    void order(const double* jacobian);
    bool eliminate(std::size_t k, std::size_t n);

    std::size_t m_size;
    double m_gamma = 0.0;
    std::vector<std::size_t> m_unknown; // those that do not stand alone, in the order of elimination
    std::vector<double> m_factors;      // of them, by columns
    std::vector<double> m_inverse;      // of the diagonal
    std::vector<std::size_t> m_pivot;
    std::vector<std::size_t> m_rows;  // of each column, where it is not zero: first below the diagonal,
    std::vector<std::size_t> m_below; // so many, then above it,
    std::vector<std::size_t> m_above; // to here
    std::vector<double> m_x;
    std::vector<double> m_met; // entries in row and column of each unknown
};

} // namespace valve::motion::detail
