#pragma once

#include <valve/core/error.hpp>

#include <algorithm>
#include <cstddef>
#include <memory>
#include <span>

namespace valve::motion::detail {

/// A square matrix of another's, by columns.
class Columns {
public:
    Columns(double* values, std::size_t size) : m_values(values), m_size(size) {}

    double& operator()(std::size_t row, std::size_t column) const { return m_values[column * m_size + row]; }

private:
    double* m_values;
    std::size_t m_size;
};

/// dy/dt = f(t, y) with functions whose zeros are to be found. Where rates() or jacobian() throws SolveError
/// a shorter step is tried before the integration gives up; what watch() throws ends it.
class Equations {
public:
    virtual ~Equations() = default;

    virtual std::size_t size() const = 0;                  ///< of y
    virtual std::size_t coupled() const { return size(); } ///< leading unknowns; on the rest nothing depends

    /// Whether an unknown may err in proportion to its size: none on which nothing depends, since its sums
    /// are to close.
    virtual bool errs_by_size(std::size_t unknown) const { return unknown < coupled(); }
    virtual std::size_t roots() const = 0; ///< how many functions are watched
    virtual void rates(double t, std::span<const double> y, std::span<double> rates) = 0;

    /// ∂f/∂y of the coupled unknowns; all entries are zero when it is called.
    virtual void jacobian(double t, std::span<const double> y, Columns result) = 0;
    virtual void watch(double t, std::span<const double> y, std::span<double> values) = 0;

    /// Which change of sign of each watched function counts from here on: 1 rising, −1 falling, 0 both.
    virtual void directions(std::span<int> result) const { std::fill(result.begin(), result.end(), 0); }
};

/// No step was found; what() is the reason.
class IntegrationFailure : public SolveError {
public:
    using SolveError::SolveError;
};

/// Why step() came back.
enum class StepEnd {
    step, ///< a step was taken
    root, ///< a watched function has changed its sign here
    stop  ///< the time asked for
};

/// Work done since the beginning.
struct Effort {
    long steps = 0;
    long rates = 0; ///< evaluations of f
    long jacobians = 0;
    long starts = 0;
};

/// Steps along a stiff system, by backward differentiation of variable order and step (CVODE of SUNDIALS,
/// hindmarsh_2005), with a dense exact Jacobian. Zeros of the watched functions are located on the
/// interpolant of a step.
class Integrator {
public:
    /// `equations` must outlive the integrator. Errors of a step are kept below `relative` |y_i| +
    /// `absolute`[i], of what does not err by its size below `absolute`[i]. Formulas up to `highest_order`, 1
    /// to 5; none above 2 is A-stable (dahlquist_1963): their steps stay a fraction of the period of what
    /// rings. The equations of a step are met within `solved_within` of these errors; sums close the better
    /// for less.
    Integrator(Equations& equations, std::span<const double> absolute, double relative, int highest_order = 5,
               double solved_within = 0.01);
    ~Integrator();
    Integrator(const Integrator&) = delete;
    Integrator& operator=(const Integrator&) = delete;

    /// From the next start on errors may be so many `times` larger, with formulas up to `highest_order` of
    /// those allowed at the beginning. The first step has the length `first`, 0: what the errors allow; after
    /// that of a given length none is more than ten times as long as the one before.
    void allow(double times, int highest_order, double first = 0.0);

    /// From the next start on unknowns that are not coupled may err by `absolute` in a step.
    void allow_sums(double absolute);

    /// Begins, or begins anew, from `y` at `t`, with no step longer than `longest`.
    void start(double t, std::span<const double> y, double longest);

    /// One step, not beyond `stop`. Throws IntegrationFailure, and what the equations threw where that has
    /// ended it.
    StepEnd step(double stop);

    /// The same, `time` and `y` being where it ends; at `stop`, that to the last digit.
    StepEnd step(double stop, double& time, std::span<double> y) {
        const StepEnd how = step(stop);
        time = how == StepEnd::stop ? stop : this->time();
        const std::span<const double> state = this->state();
        std::copy(state.begin(), state.end(), y.begin());
        return how;
    }

    double time() const;
    std::span<const double> state() const;

    /// The `order`th derivative (0: the state itself) at a time within the last step.
    void interpolate(double t, int order, std::span<double> result) const;

    /// Sign change of each watched function at the root just found: −1 falling, 1 rising, 0 none.
    std::span<const int> signs() const;

    Effort effort() const;

private:
    class Implementation;
    std::unique_ptr<Implementation> m_implementation;
};

} // namespace valve::motion::detail
