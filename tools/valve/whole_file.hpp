#pragma once

#include <stdexcept>
#include <string>
#include <vector>

namespace program {

/// A file that could not be written; what() names it and says why.
class CannotWrite : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// Throws UsageError, which names `option`, where `path` cannot be meant for output: a folder, a device, a
/// pipe, or, links followed, one of the files read (`inputs`); CannotWrite where its folder takes no file.
void check_output(const std::string& option, const std::string& path, const std::vector<std::string>& inputs);

/// Writes `text` to `path`, whole or not at all: what stood there stays until the new file is complete and on
/// the disk. A link is followed, the mode of a file that stood there kept. What is incomplete has no name,
/// or, on file systems that need one, a name of its own beside `path`; an interrupt leaves nothing behind.
/// Throws CannotWrite.
void write_whole(const std::string& path, const std::string& text);

} // namespace program
