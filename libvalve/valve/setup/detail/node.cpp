#include <valve/core/text.hpp>
#include <valve/setup/detail/node.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace valve::setup {
namespace {

/// Whether a plain scalar of this text would be read as something else or not at all in a flow collection.
bool needs_quotes(const Node& scalar) {
    const std::string& text = scalar.text;
    if (text.empty() || scalar.quoted) return true;
    if (trimmed(text).size() != text.size()) return true;
    if (text.find_first_of(",[]{}\"'#\n\t\\") != std::string::npos) return true;
    if (text.find(": ") != std::string::npos || text.ends_with(':')) return true;
    return std::string_view("&*!|>%@`?-~").find(text.front()) != std::string_view::npos;
}

std::string in_double_quotes(std::string_view text) {
    std::string quoted = "\"";
    for (const char c : text) {
        switch (c) {
        case '"':
            quoted += "\\\"";
            break;
        case '\\':
            quoted += "\\\\";
            break;
        case '\n':
            quoted += "\\n";
            break;
        case '\t':
            quoted += "\\t";
            break;
        default:
            if (static_cast<unsigned char>(c) < 0x20) {
                quoted += fmt::format("\\x{:02X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
            } else {
                quoted += c;
            }
        }
    }
    return quoted + "\"";
}

std::string key_text(const std::string& key) {
    Node scalar;
    scalar.text = key;
    return needs_quotes(scalar) || key.find(':') != std::string::npos ? in_double_quotes(key) : key;
}

} // namespace

const Member* Node::find(std::string_view key) const {
    const auto found =
        std::find_if(members.begin(), members.end(), [&](const Member& m) { return m.key == key; });
    return found == members.end() ? nullptr : &*found;
}

Member* Node::find(std::string_view key) {
    return const_cast<Member*>(std::as_const(*this).find(key)); // *this is not const
}

bool same_value(const Node& a, const Node& b) {
    if (a.kind != b.kind || a.text != b.text || a.members.size() != b.members.size()) return false;
    const auto same_member = [&](const Member& member) {
        const Member* other = b.find(member.key);
        return other != nullptr && same_value(member.value, other->value);
    };
    return std::equal(a.items.begin(), a.items.end(), b.items.begin(), b.items.end(), same_value) &&
           std::all_of(a.members.begin(), a.members.end(), same_member);
}

std::string flow_text(const Node& node) {
    std::string text;
    switch (node.kind) {
    case Node::Kind::null:
        return "null";
    case Node::Kind::scalar:
        return needs_quotes(node) ? in_double_quotes(node.text) : node.text;
    case Node::Kind::list:
        for (const Node& item : node.items)
            text += (text.empty() ? "" : ", ") + flow_text(item);
        return "[" + text + "]";
    case Node::Kind::map:
        for (const Member& member : node.members) {
            text += (text.empty() ? "" : ", ") + key_text(member.key) + ": " + flow_text(member.value);
        }
        return "{" + text + "}";
    }
    return text;
}

std::string described(const Node& node) {
    switch (node.kind) {
    case Node::Kind::null:
        return "nothing";
    case Node::Kind::scalar:
        return in_quotes(node.text);
    case Node::Kind::list:
        return "a list";
    case Node::Kind::map:
        return "a map";
    }
    return {};
}

std::vector<std::string> split_key(std::string_view dotted) {
    std::vector<std::string> parts;
    for (std::size_t begin = 0; begin <= dotted.size();) {
        const std::size_t dot = std::min(dotted.find('.', begin), dotted.size());
        parts.emplace_back(dotted.substr(begin, dot - begin));
        begin = dot + 1;
    }
    // As names are printed: "base.refill.float.rate".
    if (parts.size() >= 2 && (parts[0] == "base" || parts[0] == "piston"))
        parts.insert(parts.begin(), "valves");
    if (parts.size() >= 3 && parts[0] == "valves") {
        parts[1] += "." + parts[2];
        parts.erase(parts.begin() + 2);
    }
    constexpr std::string_view viscosity = "oil.viscosity.";
    if (dotted.starts_with(viscosity)) {
        return {"oil", "viscosity", std::string(dotted.substr(viscosity.size()))};
    }
    return parts;
}

std::string joined(std::string_view path, std::string_view key) {
    return path.empty() ? std::string(key) : fmt::format("{}.{}", path, key);
}

const Member* find_at(const Node& root, std::string_view dotted) {
    const Node* node = &root;
    const Member* member = nullptr;
    for (const std::string& part : split_key(dotted)) {
        member = node->find(part);
        if (member == nullptr) return nullptr;
        node = &member->value;
    }
    return member;
}

Place place_of(const Node& root, std::string_view dotted) {
    const Node* node = &root;
    Place place = root.place;
    for (const std::string& part : split_key(dotted)) {
        const Member* member = node->find(part);
        if (member == nullptr) break;
        node = &member->value;
        place =
            node->kind == Node::Kind::scalar || node->kind == Node::Kind::list ? node->place : member->place;
    }
    return place;
}

} // namespace valve::setup
