#pragma once

#include <valve/report/family.hpp>

#include <exception>
#include <string>
#include <vector>

#include "command.hpp"

namespace program {

/// A sweep and the values that each of its settings gives beside the file.
struct Variants {
    valve::report::Sweep sweep;
    std::vector<std::vector<std::string>> overrides; // KEY=VALUE, by setting
};

/// `--sweep` (several make a grid: every setting of one with every setting of the other) or `--temperatures`
/// of `file`. Throws UsageError for what names no settings.
Variants variants_of(const std::string& file, const CommonOptions& common,
                     const std::vector<std::string>& sweeps, const std::vector<std::string>& temperatures);

/// Throws `fault`, the first where no setting of a sweep can stand. What an override says of itself is said
/// of the option: UsageError.
[[noreturn]] void rethrow_as_of_sweep(const std::exception_ptr& fault);

} // namespace program
