#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <speed/stacks.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <stdexcept>

// Names as Fortran gives them. NOLINTBEGIN(readability-identifier-naming)
#ifdef VALVE_HAVE_LAPACK
extern "C" {
void dpbtrf_(const char* uplo, const int* n, const int* kd, double* ab, const int* ldab, int* info,
             std::size_t uplo_length);
void dpbtrs_(const char* uplo, const int* n, const int* kd, const int* nrhs, const double* ab,
             const int* ldab, double* b, const int* ldb, int* info, std::size_t uplo_length);
}
#endif
// NOLINTEND(readability-identifier-naming)

namespace valve::validation::speed {
namespace {

constexpr double bar = 1e5;          // [Pa]
constexpr double pressure = 4 * bar; // the gap has closed, the seat is open

#ifdef VALVE_HAVE_LAPACK
/// The chosen rows and columns of a block-tridiagonal matrix as LAPACK keeps a symmetric band: its lower
/// triangle, a column of the matrix a column, the diagonal first.
class Band {
public:
    Band(const plate::BlockTridiagonal& matrix, const std::vector<char>& chosen) {
        std::vector<int> place(chosen.size(), -1);
        for (std::size_t i = 0; i < chosen.size(); ++i)
            if (chosen[i]) place[i] = m_rows++;
        auto each = [&](auto&& take) {
            for (int k = 0; k < matrix.stations(); ++k)
                for (int i = 0; i < matrix.size(k); ++i) {
                    const int column = place[static_cast<std::size_t>(matrix.offset(k) + i)];
                    if (column < 0) continue;
                    for (int j = i; j < matrix.size(k); ++j)
                        take(place[static_cast<std::size_t>(matrix.offset(k) + j)], column,
                             matrix.diagonal(k)(i, j));
                    if (k + 1 == matrix.stations()) continue;
                    for (int j = 0; j < matrix.size(k + 1); ++j)
                        take(place[static_cast<std::size_t>(matrix.offset(k + 1) + j)], column,
                             matrix.upper(k)(i, j));
                }
        };
        each([&](int row, int column, double value) {
            if (row >= 0 && value != 0.0) m_width = std::max(m_width, row - column);
        });
        m_values.assign(static_cast<std::size_t>(m_rows * (m_width + 1)), 0.0);
        each([&](int row, int column, double value) {
            if (row >= 0 && value != 0.0)
                m_values[static_cast<std::size_t>(column * (m_width + 1) + row - column)] = value;
        });
    }

    int rows() const { return m_rows; }
    int width() const { return m_width; }
    const std::vector<double>& values() const { return m_values; }

    void factor(std::vector<double>& values) const {
        const int leading = m_width + 1;
        int info = 0;
        dpbtrf_("L", &m_rows, &m_width, values.data(), &leading, &info, 1);
        if (info != 0) throw std::runtime_error("dpbtrf finds the matrix not positive definite");
    }

    void solve(const std::vector<double>& factors, Eigen::VectorXd& x) const {
        const int leading = m_width + 1;
        const int one = 1;
        int info = 0;
        dpbtrs_("L", &m_rows, &m_width, &one, factors.data(), &leading, x.data(), &m_rows, &info, 1);
        if (info != 0) throw std::runtime_error("dpbtrs fails");
    }

private:
    int m_rows = 0;
    int m_width = 0; ///< subdiagonals
    std::vector<double> m_values;
};

/// Largest difference of the two solutions of one system, relative to the largest entry.
double disagreement(const Band& band, const std::vector<double>& factors, const plate::BlockCholesky& ours,
                    const std::vector<char>& chosen, const Eigen::VectorXd& load) {
    Eigen::VectorXd x = load;
    ours.solve(x);
    Eigen::VectorXd y(band.rows());
    Eigen::VectorXd x_chosen(band.rows());
    Eigen::Index at = 0;
    for (std::size_t i = 0; i < chosen.size(); ++i) {
        if (!chosen[i]) continue;
        y[at] = load[static_cast<Eigen::Index>(i)];
        x_chosen[at++] = x[static_cast<Eigen::Index>(i)];
    }
    band.solve(factors, y);
    return (x_chosen - y).cwiseAbs().maxCoeff() / y.cwiseAbs().maxCoeff();
}

void compare_factorisations(Section& section, const stack::Problem& problem, const stack::State& state) {
    Eigen::VectorXd gradient(problem.size());
    plate::BlockTridiagonal tangent = problem.make_tangent();
    problem.assemble(state.x, state.pressure, 1.0, gradient, tangent);
    std::vector<char> chosen;
    for (const stack::Hold hold : state.hold)
        chosen.push_back(hold == stack::Hold::free ? 1 : 0);

    const Band band(tangent, chosen);
    plate::BlockCholesky cholesky(tangent);
    std::vector<double> factors;
    std::vector<double> ours;
    std::vector<double> theirs;
    constexpr int repeats = 101;
    for (int i = 0; i < repeats; ++i) {
        ours.push_back(time_of([&] {
            if (!cholesky.factor(tangent, chosen)) throw std::runtime_error("not positive definite");
        }));
        factors = band.values(); // not in the time: dpbtrf works in place
        theirs.push_back(time_of([&] { band.factor(factors); }));
    }
    section.rows.push_back({"one factorisation, as a multiple of LAPACK's", median(ours) / median(theirs),
                            Row::Goal::at_most, 2.0});
    section.notes.push_back(fmt::format(
        "{} rows, {} subdiagonals; dpbtrf {:.3f} ms, ours {:.3f} ms with the copy of the matrix; medians of "
        "{}. Solutions agree to {:.0e}. LAPACK: {}.",
        band.rows(), band.width(), 1e3 * median(theirs), 1e3 * median(ours), repeats,
        disagreement(band, factors, cholesky, chosen, Eigen::VectorXd::Ones(problem.size())),
        VALVE_LAPACK_NAME));
}
#else
void compare_factorisations(Section& section, const stack::Problem&, const stack::State&) {
    section.notes.push_back("LAPACK was not found when this was built (Debian: liblapack-dev): its row is "
                            "left out.");
}
#endif

} // namespace

Section against_lapack() {
    const stack::Stack stack = twelve_shims();
    Section section{"The floor: banded Cholesky factorisation, 12 shims in two stages"};
    stack::Path single(stack, stack::Theory::large_deflection, plate::Grading{});
    const stack::State* state = single.at(pressure);
    if (state == nullptr) throw std::runtime_error(single.refusal());
    compare_factorisations(section, single.problem(), *state);

    constexpr double end = 20.0 * bar;
    const stack::LiftCurve curve = stack::Solution(stack, {stack::Theory::large_deflection, end}).curve();
    stack::Path path(stack, stack::Theory::large_deflection, plate::Grading{});
    for (const stack::LiftPoint& point : curve.points)
        path.at(point.pressure);
    const auto points = static_cast<double>(curve.points.size());
    section.rows.push_back(
        {"factorisations a point", path.factorisations() / points, Row::Goal::at_most, 12.0});
    section.notes.push_back(fmt::format("{} points up to {:.0f} bar, solved anew one after the other.",
                                        curve.points.size(), end / bar));
    return section;
}

} // namespace valve::validation::speed
