#pragma once

#include <valve/report/json.hpp>

namespace valve::report {

/// The same data in fewer bytes, as `unpacked()` in tools/web/src/packed.ts takes them apart again: numbers
/// to ten digits; rows of four objects or more with the same keys by columns, {"~rows": n, "~columns": {…}},
/// a column of one value as that value; and what occurs twice once, {"~shared": i} standing for
/// "~shared"[i] of {"~shared": […], "~page": …}.
Json packed(const Json& data);

} // namespace valve::report
