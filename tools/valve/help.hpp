#pragma once

#include <CLI/App.hpp>

#include <memory>
#include <string>

namespace program {

/// Lays out help for a terminal of 100 columns.
std::shared_ptr<CLI::FormatterBase> help_layout();

/// Example and cautions under a command's help.
void set_footer(CLI::App& command, const std::string& example, const std::string& caution);

} // namespace program
