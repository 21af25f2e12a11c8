#pragma once

#include <optional>
#include <string>
#include <utility>

namespace valve::setup {

/// What a file on the disk is to this program, by its keys; its values may be wrong.
struct KnownFile {
    std::string what; ///< as a message calls it: "a set-up", "a goal", "a file with format:"
    /// Of a variant that has nothing of its own but `title` and `change`, as programs write them: the path of
    /// the file that it changes. Empty else.
    std::string variant_of;
    std::optional<std::pair<int, int>> part = {}; ///< of a search: which, of how many
};

/// What `path` is; none where nothing can be read there, or what can is none of this program's files. A text
/// that is no YAML, but has a line that begins with `format:`, is one that somebody is at work on.
std::optional<KnownFile> known_file(const std::string& path);

} // namespace valve::setup
