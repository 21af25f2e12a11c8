#pragma once

#include <valve/damper/spec.hpp>

namespace valve::damper {

/// Findings of the space where an oil level is measured; keys from the column on.
Findings check_column(const OilColumn& column, const Cartridge& cartridge);

/// Findings of the support around `cartridge`, part of check(); keys from the top ("support.leg.oil").
Findings check_support(const Support& support, const Cartridge& cartridge);

} // namespace valve::damper
