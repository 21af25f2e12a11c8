#pragma once

#include <valve/report/json.hpp>

namespace valve::report {

/// Words, measure, unit and digits of every field of a page's results, by table and JSON key.
Json page_fields();

/// The part of a page's data that the page draws; the rest is for those who read the data.
Json drawn(const Json& page);

} // namespace valve::report
