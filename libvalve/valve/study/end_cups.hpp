#pragma once

#include <valve/damper/onset.hpp>
#include <valve/study/warning.hpp>

#include <vector>

namespace valve::study {

/// The speeds from which a cup runs empty as its plug leaves, and from which the gap round a plug that goes
/// in is turbulent and so pushes harder than computed; both at the travel of `search`.
std::vector<Warning> end_cup_warnings(damper::OnsetSearch& search);

} // namespace valve::study
