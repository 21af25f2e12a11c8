#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace valve::setup {

struct Node;
struct Place;

/// A value of a file, kept as text for those who know what it has to be, with its place for what they have to
/// say about it.
class PlacedText {
public:
    PlacedText() = default;

    /// The text of `value`, found at the dotted `key`. Throws InputError unless it is a scalar; `expected`
    /// says what it should be ("a figure's name").
    PlacedText(const Node& value, std::string key, std::string_view expected);

    const std::string& text() const { return m_text; }
    const std::string& key() const { return m_key; }

    /// Throws InputError: file, line, column, key, `what`, and the line itself.
    [[noreturn]] void refuse(std::string_view what) const;

private:
    std::string m_text;
    std::string m_key;
    std::shared_ptr<const Place> m_place;
};

} // namespace valve::setup
