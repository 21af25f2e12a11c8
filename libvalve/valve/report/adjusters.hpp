#pragma once

#include <valve/study/adjusters.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// "base.compression 8 of 24 clicks, base.compression.float 2 of 4 turns"; empty for none.
std::string settings(const std::vector<study::Adjuster>& adjusters);

} // namespace valve::report
