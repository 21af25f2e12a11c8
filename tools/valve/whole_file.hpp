#pragma once

#include <stdexcept>
#include <string>

namespace program {

/// A file that could not be written; what() names it and says why.
class CannotWrite : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// Writes `text` to `path`, whole or not at all: what stood there stays until the new file is complete.
/// Throws CannotWrite.
void write_whole(const std::string& path, const std::string& text);

} // namespace program
