#pragma once

#include <valve/core/constants.hpp>

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace valve::setup {

class Reader;
struct Key;
struct Node;
using Keys = std::vector<Key>;

/// What a value may be, in the unit its key documents.
struct Range {
    double low = 0.0;
    double high = 0.0;
    bool low_included = true;
};

constexpr Range from_to(double low, double high) {
    return {low, high, true};
}
constexpr Range above_to(double low, double high) {
    return {low, high, false};
}

/// What a value usually is, in the unit its key documents, and what is asked of any other but zero.
struct Usual {
    double low = 0.0;
    double high = 0.0;
    std::string_view question;
};

/// A quantity: `set` and `fallback` are what the file means (a diameter, a gauge pressure), in SI.
struct Quantity {
    std::string_view unit; ///< of a bare number, of the range and of the default
    Range range;
    std::function<void(double)> set;
    std::optional<double> fallback;
    std::optional<Usual> usual = std::nullopt;
};

/// A whole number.
struct Count {
    int low = 0;
    int high = 0;
    std::function<void(int)> set;
    std::optional<int> fallback;
};

/// One of several words.
struct Choice {
    std::vector<std::string> names;
    std::function<void(std::size_t)> set;
    std::optional<std::size_t> fallback;
};

/// Free text.
struct Text {
    std::string* target = nullptr;
};

/// Keys below this one. `keys` makes the struct they fill where it is optional.
struct Map {
    std::function<Keys()> keys;
    bool has_defaults = false; ///< its keys have defaults that hold without the map
};

/// A form of its own. `read` gets the value and its dotted key.
struct Form {
    std::string_view type;
    std::function<void(const Node& value, const std::string& path, Reader& reader)> read;
    std::function<Keys()> keys; ///< below this one, for the reference; may be empty
};

/// One key of a set-up file, declared once: the reader, the range check, the reference and the list of
/// defaults used all work from this.
struct Key {
    std::string name;
    std::string doc; ///< one line
    std::variant<Quantity, Count, Choice, Text, Map, Form> value;
    bool is_required = false;
    std::string otherwise;          ///< what holds without it, where that follows from other keys
    std::vector<std::string> kinds; ///< only for a map whose `kind` is one of these; empty: always
};

/// The default of these is what `target` holds.
Key quantity(std::string name, double& target, std::string_view unit, Range range, std::string doc);
Key diameter(std::string name, double& radius, Range range, std::string doc);
Key gauge_pressure(std::string name, double& absolute, Range range, std::string doc);
Key count(std::string name, int& target, int low, int high, std::string doc);

/// These have no default; `otherwise` says what follows where they are not given.
Key quantity(std::string name, std::optional<double>& target, std::string_view unit, Range range,
             std::string doc, std::string otherwise = "");
Key diameter(std::string name, std::optional<double>& radius, Range range, std::string doc,
             std::string otherwise = "");

Key text(std::string name, std::string& target, std::string doc);

/// format: 1, which every file has; it has been looked at before the keys are read.
Key format_key();

Key form(std::string name, std::string_view type,
         std::function<void(const Node&, const std::string&, Reader&)> read, std::string doc,
         std::function<Keys()> keys = {});

template <class Value>
using Names = std::vector<std::pair<std::string, Value>>;

template <class Value>
Key choice(std::string name, Value& target, const Names<Value>& names, std::string doc) {
    Choice made;
    for (std::size_t i = 0; i < names.size(); ++i) {
        made.names.push_back(names[i].first);
        if (names[i].second == target) made.fallback = i;
    }
    made.set = [&target, names](std::size_t i) { target = names[i].second; };
    return {std::move(name), std::move(doc), std::move(made), false, {}, {}};
}

template <class Value>
Key choice(std::string name, std::optional<Value>& target, const Names<Value>& names, std::string doc,
           std::string otherwise) {
    Choice made;
    for (const auto& [word, value] : names)
        made.names.push_back(word);
    made.set = [&target, names](std::size_t i) { target = names[i].second; };
    return {std::move(name), std::move(doc), std::move(made), false, std::move(otherwise), {}};
}

/// A map whose struct is always there, so that its defaults hold without it.
template <class Struct>
Key map(std::string name, Struct& target, Keys (*keys)(Struct&), std::string doc) {
    Map made{[&target, keys] { return keys(target); }, true};
    return {std::move(name), std::move(doc), std::move(made), false, {}, {}};
}

/// A map that need not be there.
template <class Struct>
Key map(std::string name, std::optional<Struct>& target, Keys (*keys)(Struct&), std::string doc) {
    Map made{[&target, keys] { return keys(target.emplace()); }, false};
    return {std::move(name), std::move(doc), std::move(made), false, {}, {}};
}

Key required(Key key);

/// `key`, a quantity, with what it usually is.
Key usual(double low, double high, std::string_view question, Key key);
Key without_default(Key key);
Key only_for(std::vector<std::string> kinds, Key key);

} // namespace valve::setup
