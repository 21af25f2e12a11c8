#pragma once

#include <valve/setup/document.hpp>
#include <valve/setup/keys.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::setup {

inline constexpr std::string_view set_up_file = "set-up";

/// A key that a file may hold: what it takes, and how it is read from a set-up and edited.
struct Parameter {
    std::string key;             ///< dotted
    std::string file;            ///< whose key it is: set_up_file, "event", "goal", "drawer" or "words"
    std::string type;            ///< "length", "whole number", "map", or the words of a choice
    std::string unit;            ///< of a bare number
    std::string fallback;        ///< default as it could be written, or in words; empty: none
    std::string range;           ///< in words: "more than 0, at most 200 mm"
    std::optional<Range> limits; ///< of a number [unit]
    std::string doc;             ///< one line
    bool is_required = false;
    std::vector<std::string> kinds; ///< of reservoir or event that the key belongs to; empty: all

    /// As Document::get() and Document::with().
    std::optional<Value> get(const Document& document) const { return document.get(key); }
    Document set(const Document& document, const std::string& value) const {
        return document.with(key, value);
    }
    Document set(const Document& document, double value) const { return document.with(key, value); }
};

/// Every key that a set-up file may hold, in the order of a file. Those of a valve are given once, below
/// valves.base.compression.
std::vector<Parameter> parameters();

/// Every key that a file beside set-ups may hold, below the one that says what the file is for. Keys of an
/// item of a list stand below that of the list. These are not edited.
std::vector<Parameter> further_parameters();

/// The parameter at `key`, of any valve ("valves.base.refill.clamp", or without "valves.", as names are
/// printed; "valve.clamp" of one alone), and of the viscosity at a temperature ("oil.viscosity.40 C").
/// Throws InputError for a key that no file may hold, and names the nearest.
Parameter parameter(std::string_view key);

/// `key` with the "valves." that printed names leave out.
std::string full_key(std::string_view key);

/// The unit of a bare number at the dotted `key` of a file; empty where it has none, or there is no such key.
std::string bare_unit(const std::string& key);

/// "more than 0, at most 200 mm".
std::string range_text(const Quantity& quantity);

/// The default as it could be written in a file; empty if there is none.
std::string default_text(const Key& key);

} // namespace valve::setup
