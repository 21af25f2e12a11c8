#include <valve/motion/detail/elimination.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::motion::detail {

namespace {

/// to −= times × from, in the rows listed.
void subtract(double times, const double* from, const std::size_t* begin, const std::size_t* end,
              double* to) {
    if (times == 0.0) return;
    for (const std::size_t* row = begin; row != end; ++row)
        to[*row] -= times * from[*row];
}

} // namespace

Elimination::Elimination(std::size_t size)
    : m_size(size), m_factors(size * size), m_inverse(size), m_pivot(size), m_rows(size * size),
      m_below(size), m_above(size), m_x(size), m_met(size) {
    m_unknown.reserve(size);
}

bool Elimination::factorise(const double* jacobian) {
    order(jacobian);
    const std::size_t n = m_unknown.size();
    const std::size_t* const unknown = m_unknown.data();
    for (std::size_t j = 0; j < n; ++j) {
        const double* const from = jacobian + unknown[j] * m_size;
        double* const to = column(j);
        for (std::size_t i = 0; i < n; ++i)
            to[i] = -m_gamma * from[unknown[i]];
        to[j] += 1.0;
    }
    for (std::size_t k = 0; k < n; ++k)
        if (!eliminate(k, n)) return false;
    for (std::size_t k = 0; k < n; ++k) { // what of each column lies above
        const double* const own = column(k);
        std::size_t* const rows = m_rows.data() + k * n;
        std::size_t end = m_below[k];
        for (std::size_t i = 0; i < k; ++i) {
            rows[end] = i;
            end += own[i] != 0.0 ? 1 : 0;
        }
        m_above[k] = end;
    }
    return true;
}

void Elimination::solve(double* all) {
    const std::size_t n = m_unknown.size();
    const std::size_t* const unknown = m_unknown.data();
    const std::size_t* const below = m_below.data();
    const std::size_t* const above = m_above.data();
    const std::size_t* const pivot = m_pivot.data();
    const double* const inverse = m_inverse.data();
    double* const x = m_x.data();
    for (std::size_t i = 0; i < n; ++i)
        x[i] = all[unknown[i]];
    for (std::size_t k = 0; k < n; ++k) {
        std::swap(x[k], x[pivot[k]]);
        const std::size_t* const rows = m_rows.data() + k * n;
        subtract(x[k], column(k), rows, rows + below[k], x);
    }
    for (std::size_t k = n; k-- > 0;) {
        x[k] *= inverse[k];
        const std::size_t* const rows = m_rows.data() + k * n;
        subtract(x[k], column(k), rows + below[k], rows + above[k], x);
    }
    for (std::size_t i = 0; i < n; ++i)
        all[unknown[i]] = x[i];
}

/// The unknowns that do not stand alone, those first that meet the fewest others.
void Elimination::order(const double* jacobian) {
    double* const met = m_met.data();
    std::fill_n(met, m_size, 0.0);
    for (std::size_t j = 0; j < m_size; ++j) {
        const double* const own = jacobian + j * m_size;
        double sum = 0.0;
        for (std::size_t i = 0; i < m_size; ++i) {
            const double one = own[i] != 0.0 ? 1.0 : 0.0;
            met[i] += one;
            sum += one;
        }
        met[j] += sum;
    }
    m_unknown.clear();
    for (std::size_t i = 0; i < m_size; ++i) {
        if (met[i] == 0.0) continue;
        std::size_t place = m_unknown.size();
        m_unknown.push_back(i);
        for (; place > 0 && met[m_unknown[place - 1]] > met[i]; --place)
            m_unknown[place] = m_unknown[place - 1];
        m_unknown[place] = i;
    }
}

/// Column `k` of `n`.
bool Elimination::eliminate(std::size_t k, std::size_t n) {
    double* const own = column(k);
    std::size_t* const rows = m_rows.data() + k * n;
    std::size_t below = 0;
    for (std::size_t i = k + 1; i < n; ++i) {
        rows[below] = i;
        below += own[i] != 0.0 ? 1 : 0;
    }
    std::size_t pivot = k;
    for (std::size_t i = 0; i < below; ++i)
        if (std::abs(own[rows[i]]) > std::abs(own[pivot])) pivot = rows[i];
    if (!(own[pivot] != 0.0)) return false;
    m_pivot[k] = pivot;
    if (pivot != k)
        for (std::size_t j = k; j < n; ++j)
            std::swap(column(j)[k], column(j)[pivot]);
    const double inverse = m_inverse[k] = 1.0 / own[k];
    for (std::size_t i = 0; i < below; ++i)
        own[rows[i]] *= inverse;
    m_below[k] = below;
    for (std::size_t j = k + 1; j < n; ++j)
        subtract(column(j)[k], own, rows, rows + below, column(j));
    return true;
}

} // namespace valve::motion::detail
