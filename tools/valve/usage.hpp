#pragma once

#include <stdexcept>

namespace program {

/// Arguments that are well-formed but cannot be meant; what() is the message, which names the option.
class UsageError : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

} // namespace program
