#pragma once

#include <valve/core/error.hpp>
#include <valve/setup/keys.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <string_view>

namespace valve::setup {

/// Reads a quantity and sets it. Throws InputError where it is not one or out of its range.
void read_quantity(const Node& value, const std::string& path, const Quantity& quantity);

/// Checks a value against the declaration of its key and sets nothing: the number that it is, of a quantity
/// [SI] or a whole number. Maps and values of a form of their own are left to read().
std::optional<double> scalar_value(const Node& value, const std::string& path, const Key& key);

/// Reads the maps of one document by the declarations of their keys, and collects defaults and warnings.
class Reader {
public:
    Reader(const Node& root, Reading& reading) : m_root(root), m_reading(reading) {}

    /// Reads `map`, found at the dotted key `path`: refuses keys that are not in `keys`, then reads each of
    /// `keys` in order. Throws InputError at the first fault.
    void read(const Node& map, const std::string& path, const Keys& keys);

    /// Records that `value` was used for a key the file does not give.
    void assume(const std::string& key, const std::string& value);

    /// Whether the document has a value at the dotted `key`.
    bool is_written(const std::string& key) const;

    /// Fails at the value of `key`, or at the nearest map above it that was written.
    [[noreturn]] void fail_at(const std::string& key, std::string_view what) const;

    /// Fails where the values of two keys conflict.
    [[noreturn]] void fail_at(const std::string& key, std::string_view what,
                              const std::string& other_key) const;

    /// Fails for want of `key`, below the map that should hold it.
    [[noreturn]] void fail_missing(const std::string& path, std::string_view key,
                                   std::string_view what) const;

    /// Throws the first error among `findings`, whose keys are relative to `path`; keeps the warnings.
    void take(const Findings& findings, const std::string& path);

private:
    void read_value(const Node& value, const std::string& path, const Key& key);
    [[noreturn]] void fail_missing(const Node& map, const std::string& path, std::string_view key,
                                   std::string_view what) const;
    void ask(const Node& value, const std::string& path, const Quantity& quantity);
    void read_absent(const Node& map, const std::string& path, const Key& key);

    const Node& m_root;
    Reading& m_reading;
};

} // namespace valve::setup
