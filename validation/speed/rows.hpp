#pragma once

#include <optional>
#include <string>
#include <vector>

namespace valve::validation::speed {

/// One measurement, a pure number, beside its goal. Ratios are of CPU times taken in one run.
struct Row {
    enum class Goal { more_than, at_most };

    std::string what;
    double got = 0.0;
    Goal kind = Goal::at_most;
    std::optional<double> goal = std::nullopt; ///< none: for information

    bool reached() const { return !goal || (kind == Goal::more_than ? got > *goal : got <= *goal); }
};

/// The rows of one section, and what a reader should know of how they came about.
struct Section {
    std::string title;
    std::vector<Row> rows = {};
    std::vector<std::string> notes = {};
};

/// A lift curve by CalculiX beside ours. Throws std::runtime_error where ccx is missing or fails.
Section against_solids();

/// One factorisation by LAPACK beside ours, and how many of them a point takes.
Section against_lapack();

/// The demo fork, four lift curves and 200 speeds, by a script on NumPy and SciPy beside ours. Throws
/// std::runtime_error where the script does not run.
Section against_script();

/// A cycle and a ride by SciPy's integrators beside ours, at equal error. Throws as against_script().
Section against_integrators();

/// How the cost of a path grows with elements and with shims.
Section growth();

/// What shapes that are not round cost beside the round one, and what finer divisions change of them.
Section ring();

} // namespace valve::validation::speed
