#pragma once

#include <functional>
#include <string>
#include <vector>

namespace valve::validation::speed {

double own_time();      ///< CPU time of this process so far [s]
double children_time(); ///< CPU time of the child processes that have ended [s]

/// CPU time of one call [s].
double time_of(const std::function<void()>& work);

/// Median CPU time of each of several pieces of work, done in turn, `repeats` times over [s].
std::vector<double> medians(const std::vector<std::function<void()>>& work, int repeats);

/// Runs a command of the shell; CPU time that it took [s]. Throws std::runtime_error where it fails.
double time_of_command(const std::string& command);

double median(std::vector<double> values);

/// Exponent n of y ~ xⁿ, by least squares on logarithms.
double fitted_exponent(const std::vector<double>& x, const std::vector<double>& y);

} // namespace valve::validation::speed
