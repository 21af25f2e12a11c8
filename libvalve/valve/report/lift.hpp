#pragma once

#include <valve/report/json.hpp>
#include <valve/study/lift.hpp>

#include <string>

namespace valve::report {

Json json(const study::LiftResult& result);

/// Events and opening pressures, then one row a pressure.
std::string text(const study::LiftResult& result);

} // namespace valve::report
