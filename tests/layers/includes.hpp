#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace layers {

/// Headers that the source file uses and reaches neither itself nor through our own headers, "std::move needs
/// <utility>". Only names that stand in a table here are looked for. `folders` are where our headers are
/// found. Precompiled headers hide from the compiler that an include is missing.
std::vector<std::string> missing_includes(const std::filesystem::path& file,
                                          const std::vector<std::filesystem::path>& folders);

/// The same of a text that includes nothing but `headers`.
std::vector<std::string> missing_includes(const std::string& text, const std::vector<std::string>& headers);

} // namespace layers
