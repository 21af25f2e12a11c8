#pragma once

#include <valve/report/json.hpp>
#include <valve/study/modes.hpp>

#include <string>

namespace valve::report {

Json json(const study::ModesResult& result);

/// What is lowest and what it is near to, the state and what is left out, then one row a mode.
std::string text(const study::ModesResult& result);

} // namespace valve::report
