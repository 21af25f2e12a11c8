#pragma once

#include <valve/report/field.hpp>
#include <valve/study/advise.hpp>

namespace valve::report {

/// What is told of a change or a pair: how far it reaches, what it costs, what it is.
Fields<study::Suggestion> suggestion_fields();

} // namespace valve::report
