#pragma once

#include <valve/damper/model.hpp>
#include <valve/damper/steady.hpp>
#include <valve/study/warning.hpp>

#include <vector>

namespace valve::study {

/// Where the gap round a plug turns turbulent at the fastest speed of `curve`, and so pushes harder than
/// computed, and the slowest speed of `curve` at which a cup runs empty as its plug leaves.
std::vector<Warning> end_cup_warnings(const damper::Model& model, const damper::Curve& curve);

} // namespace valve::study
