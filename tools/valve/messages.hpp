#pragma once

#include <string>

/// Messages on standard error, harmless to a terminal whatever names and titles they hold.
namespace program {

void log_warning(const std::string& message);
void log_error(const std::string& message);

} // namespace program
