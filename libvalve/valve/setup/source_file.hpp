#pragma once

#include <string>

namespace valve::setup {

/// A file's text, or why it cannot be read.
struct FileText {
    std::string text;
    std::string fault;
};

/// Reads a file of at most `largest_file` bytes; a byte order mark is left out.
FileText read_file(const std::string& path);

} // namespace valve::setup
