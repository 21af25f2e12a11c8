#pragma once

#include <valve/setup/keys.hpp>

#include <string>
#include <vector>

namespace valve::setup {

/// One row of the key reference.
struct KeyRow {
    std::string key;      ///< dotted; those of a valve are given once, below valves.base.compression
    std::string type;     ///< "length", "whole number", "map", or the words of a choice
    std::string unit;     ///< of a bare number
    std::string fallback; ///< as it could be written, or in words; empty: none
    std::string range;
    std::string doc;
    bool is_required = false;
    std::vector<std::string> kinds; ///< of reservoir that the key belongs to; empty: all
};

/// Every key that a set-up file may hold, in the order of a file.
std::vector<KeyRow> key_reference();

/// The unit of a bare number at the dotted `key` of a file; empty where it has none, or there is no such key.
std::string bare_unit(const std::string& key);

/// "more than 0, at most 200 mm".
std::string range_text(const Quantity& quantity);

/// The default as it could be written in a file; empty if there is none.
std::string default_text(const Key& key);

} // namespace valve::setup
