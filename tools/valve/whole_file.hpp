#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace program {

/// A file that could not be written; what() names it and says why.
class CannotWrite : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// What a command writes: an earlier one of the same kind may stand in its place.
struct Answer {
    std::string variant_of = {};                  ///< of a set-up: the file that it changes
    std::optional<std::pair<int, int>> part = {}; ///< of a search: which, of how many
};

/// Throws UsageError, which names `option`, where `path` cannot be meant for output: a folder, a device, a
/// pipe, links followed one of the files read (`inputs`), or a file of this program that is no earlier
/// `answer`; CannotWrite where its folder takes no file.
void check_output(const std::string& option, const std::string& path, const std::vector<std::string>& inputs,
                  const Answer& answer);

/// Writes `text` to `path`, whole or not at all: what stood there stays until the new file is complete and on
/// the disk. A link is followed, the mode of a file that stood there kept. What is incomplete has no name,
/// or, on file systems that need one, a name of its own beside `path`; an interrupt leaves nothing behind.
/// Throws CannotWrite.
void write_whole(const std::string& path, const std::string& text);

} // namespace program
