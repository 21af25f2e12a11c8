#include <valve/core/error.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/placed_text.hpp>

#include <fmt/format.h>

#include <utility>

namespace valve::setup {

PlacedText::PlacedText(const Node& value, std::string key, std::string_view expected)
    : m_text(value.text), m_key(std::move(key)), m_place(std::make_shared<const Place>(value.place)) {
    if (value.kind != Node::Kind::scalar || m_text.empty())
        refuse(fmt::format("expected {}, but found {}", expected, described(value)));
}

void PlacedText::refuse(std::string_view what) const {
    if (!m_place) throw InputError(fmt::format("{}: {}", m_key, what));
    fail(*m_place, m_key, what);
}

} // namespace valve::setup
