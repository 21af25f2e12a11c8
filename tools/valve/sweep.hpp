#pragma once

#include <valve/study/sweep.hpp>

#include <string>
#include <vector>

#include "command.hpp"

namespace program {

/// A sweep and what each of its settings gives beside the file.
struct Variants {
    valve::study::Sweep sweep;
    std::vector<std::vector<valve::setup::Override>> overrides; // by setting
};

/// `--sweep` (several make a grid: every setting of one with every setting of the other) or `--temperatures`
/// of `file`. Throws UsageError for what names no settings.
Variants variants_of(const std::string& file, const CommonOptions& common,
                     const std::vector<std::string>& sweeps, const std::vector<std::string>& temperatures);

/// `file` with what each setting of `variants` changes; all arguments must outlive it.
valve::study::DocumentAt documents_of(const std::string& file, const CommonOptions& common,
                                      const Variants& variants);

/// Warnings on standard error, those that settings share said once.
void say_once(const std::vector<std::string>& warnings);

/// Settings without a result, on standard error.
void say_left_out(const std::string& sweep, const std::vector<valve::study::LeftOut>& left_out);

} // namespace program
