#pragma once

#include <valve/setup/detail/node.hpp>

#include <memory>

namespace valve::setup {

/// Limits on what is read; ordinary set-up files stay far below them.
inline constexpr std::size_t largest_file = 1'000'000; // [bytes]
inline constexpr std::size_t deepest_nesting = 32;
inline constexpr std::size_t most_values = 50'000;

/// Reads YAML of the plain kind: maps with plain keys, lists and scalars, one document.
/// Throws InputError, with the place, for anything else: text that is not UTF-8 or holds a NUL, anchors,
/// aliases, tags, a second document, duplicate or structured keys, an open quote, a limit passed.
/// The first `skipped` bytes of the text are not YAML: the key of a `--set`.
Node parse_yaml(const std::shared_ptr<const Source>& source, std::size_t skipped = 0);

} // namespace valve::setup
