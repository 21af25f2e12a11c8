#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace valve::setup {

/// A text that values come from: a file, or one override.
struct Source {
    std::string name; ///< as the user wrote the path; the source of an override
    std::string text;
    bool has_lines = true; ///< false for an override: a place names no line
};

/// Where a value was written.
struct Place {
    std::shared_ptr<const Source> source;
    std::size_t line = 1;   ///< counted from 1
    std::size_t column = 1; ///< in characters, counted from 1
};

struct Member;

/// One value of a set-up file's tree.
struct Node {
    enum class Kind { null, scalar, list, map };

    /// A key that was taken out of a map with `null`, for the message that misses it.
    struct Removal {
        std::string key;
        Place place;
    };

    Kind kind = Kind::null;
    Place place;
    std::string text;            ///< of a scalar
    bool quoted = false;         ///< a scalar in quotes: "null" is text then
    std::vector<Node> items;     ///< of a list
    std::vector<Member> members; ///< of a map, in the order of the file
    std::vector<Removal> removed;

    const Member* find(std::string_view key) const;
    Member* find(std::string_view key);
};

struct Member {
    std::string key;
    Place place; ///< of the key
    Node value;
};

/// Same kind, text and order; places do not count. Scalars are compared as written.
bool same_value(const Node& a, const Node& b);

/// `node` on one line as YAML flow text that parses to the same value.
std::string flow_text(const Node& node);

/// "a map", "a list", "'0.15 mm'", "nothing": what a message says was read.
std::string described(const Node& node);

/// The parts of a dotted key. The name of a valve ("base.refill") and a temperature of the viscosity
/// ("37.8 C") are one part each; a valve's name may stand without the "valves." before it. Empty parts are
/// kept, so that the caller can refuse them.
std::vector<std::string> split_key(std::string_view dotted);

/// "a.b", or "b" below the root.
std::string joined(std::string_view path, std::string_view key);

/// The member at a dotted key below `root`; null if there is none.
const Member* find_at(const Node& root, std::string_view dotted);

/// The place of `dotted`, or of the nearest map above it that was written.
Place place_of(const Node& root, std::string_view dotted);

} // namespace valve::setup
