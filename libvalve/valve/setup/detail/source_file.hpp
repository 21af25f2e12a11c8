#pragma once

#include <functional>
#include <optional>
#include <string>

namespace valve::setup {

/// A text that can be read, or why it cannot.
struct FileText {
    std::string text;
    std::string fault;
};

/// Reads a file of at most `largest_file` bytes; a byte order mark is left out. Only a regular file is read,
/// or what a link to one leads to: a pipe, a device or a folder is a fault.
FileText read_file(const std::string& path);

/// Where the documents of a chain come from. Nothing else in the library touches files.
struct Origin {
    std::function<FileText(const std::string& name)> read;
    /// The name of what `from:` in the document `name` says.
    std::function<std::string(const std::string& name, const std::string& from)> beside;
    std::function<bool(const std::string& a, const std::string& b)> is_same;
};

/// Files by their paths; `from:` is found beside the file itself, not beside a link to it.
Origin file_origin();

/// Texts by their names, which are put together like paths. `text_of` gives none for a name that there is
/// not, and may be empty.
Origin memory_origin(std::function<std::optional<std::string>(const std::string& name)> text_of);

} // namespace valve::setup
