#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/steady.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// One sentence for each valve whose shims pass a limit of their strip within the speeds of a curve: "At
/// 2.6 m/s shim 3 of piston.compression keeps a set …". Nothing is said of strips that state no limit.
std::vector<std::string> stress_warnings(const damper::Model& model, const damper::Curve& curve,
                                         damper::LiftCache& lifts);

} // namespace valve::report
