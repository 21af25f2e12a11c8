#pragma once

#include <valve/setup/detail/node.hpp>

#include <string>
#include <string_view>

namespace valve::setup {

/// The tree of a file's text, which messages call `name`; `what` is the kind of file ("a set-up file").
/// Throws InputError for what parse_yaml() refuses, and unless it is a map that says format: 1.
Node parsed_root(const std::string& name, std::string text, std::string_view what);

/// The same of the file at `path`. Throws InputError where it cannot be read, too.
Node root_of_file(const std::string& path, std::string_view what);

/// The same of a text in memory, held to the limits of a file.
Node root_of_text(const std::string& text, const std::string& name, std::string_view what);

} // namespace valve::setup
