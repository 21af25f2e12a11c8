#pragma once

#include <valve/core/error.hpp>

namespace valve::motion {

/// The run was stopped from outside.
class Stopped : public Error {
public:
    using Error::Error;
};

} // namespace valve::motion
