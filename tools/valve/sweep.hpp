#pragma once

#include <valve/core/error.hpp>
#include <valve/study/sweep.hpp>

#include <string>
#include <vector>

#include "command.hpp"

namespace program {

/// A sweep and the values that each of its settings gives beside the file.
struct Variants {
    valve::study::Sweep sweep;
    std::vector<std::vector<std::string>> overrides; // KEY=VALUE, by setting
};

/// `--sweep` (several make a grid: every setting of one with every setting of the other) or `--temperatures`
/// of `file`. Throws UsageError for what names no settings.
Variants variants_of(const std::string& file, const CommonOptions& common,
                     const std::vector<std::string>& sweeps, const std::vector<std::string>& temperatures);

/// `file` with what each setting of `variants` changes; all arguments must outlive it.
valve::study::DocumentAt documents_of(const std::string& file, const CommonOptions& common,
                                      const Variants& variants);

/// In a handler of `error`: throws it again, as UsageError where it is that of an override.
[[noreturn]] void rethrow_as_of_sweep(const valve::InputError& error);

/// What `solve` makes of a sweep. Where no setting of it can stand, what an override says of itself is said
/// of the option: UsageError.
template <class Solve>
auto of_sweep(const Solve& solve) {
    try {
        return solve();
    } catch (const valve::InputError& error) {
        rethrow_as_of_sweep(error);
    }
}

/// Warnings on standard error, those that settings share said once.
void say_once(const std::vector<std::string>& warnings);

/// Settings without a result, on standard error.
void say_left_out(const std::string& sweep, const std::vector<valve::study::LeftOut>& left_out);

} // namespace program
