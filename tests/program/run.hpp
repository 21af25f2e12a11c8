#pragma once

#include <string>

namespace valve::tests {

struct Run {
    int status = 0; ///< exit status; 128 and more: ended by a signal
    std::string out;
    std::string err;
};

/// Runs a shell's line in the project's root.
Run shell(const std::string& line);

/// Runs the program in the project's root with `arguments` as a shell would read them.
Run run(const std::string& arguments);

/// A file of this run of the tests, with `text` in it; its path.
std::string file_with(const std::string& name, const std::string& text);

/// Everything in a file.
std::string content(const std::string& path);

} // namespace valve::tests
