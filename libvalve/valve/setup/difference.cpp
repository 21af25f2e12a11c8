#include <valve/setup/detail/edit.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/document.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <stdexcept>
#include <utility>

namespace valve::setup {
namespace {

constexpr std::array<std::string_view, 4> not_compared{"format", "title", "note", "result"};

/// Keys of one map of which only one is given.
constexpr std::array<std::array<std::string_view, 3>, 6> alternatives{{
    {"shims", "disc", ""},
    {"travel", "sleeve", ""},
    {"needle", "hole", "area"},
    {"area", "diameter", "arc"},
    {"oil", "level", ""},
    {"rake", "motion_ratio", ""},
}};

bool has_swapped_key(const Node& from, const Node& to) {
    const auto is_only_in = [](const Node& map, const Node& other) {
        return [&](std::string_view key) { return map.find(key) != nullptr && other.find(key) == nullptr; };
    };
    return std::any_of(alternatives.begin(), alternatives.end(), [&](const auto& keys) {
        return std::any_of(keys.begin(), keys.end(), is_only_in(from, to)) &&
               std::any_of(keys.begin(), keys.end(), is_only_in(to, from));
    });
}

bool has_same_keys(const Node& a, const Node& b) {
    return a.members.size() == b.members.size() &&
           std::all_of(a.members.begin(), a.members.end(),
                       [&](const Member& member) { return b.find(member.key) != nullptr; });
}

/// Whether two values that differ can only do so as a whole.
bool is_one_value(const std::string& key, const Node& from, const Node& to) {
    if (from.kind != Node::Kind::map || to.kind != Node::Kind::map) return true;
    if (key == "oil.viscosity") return !has_same_keys(from, to); // always two temperatures
    const Member* from_kind = from.find("kind");
    const Member* to_kind = to.find("kind");
    const bool is_other_kind =
        from_kind != nullptr && to_kind != nullptr && !same_value(from_kind->value, to_kind->value);
    return is_other_kind || has_swapped_key(from, to);
}

/// Adds the dotted keys at or below `path` whose values differ; null where there is none.
void add_parts(const Node* from, const Node* to, const std::string& path, std::vector<std::string>& parts) {
    const auto is_map = [](const Node* node) {
        return node != nullptr && node->kind == Node::Kind::map && !node->members.empty();
    };
    const bool has_parts =
        (is_map(from) || is_map(to)) && (from == nullptr || is_map(from)) && (to == nullptr || is_map(to));
    if (!has_parts) {
        parts.push_back(path);
        return;
    }
    const auto below = [](const Node* map, const std::string& key) -> const Node* {
        const Member* member = map == nullptr ? nullptr : map->find(key);
        return member == nullptr ? nullptr : &member->value;
    };
    if (to != nullptr)
        for (const Member& member : to->members) {
            const Node* other = below(from, member.key);
            if (other == nullptr || !same_value(*other, member.value))
                add_parts(other, &member.value, joined(path, member.key), parts);
        }
    if (from != nullptr)
        for (const Member& member : from->members)
            if (below(to, member.key) == nullptr)
                add_parts(&member.value, nullptr, joined(path, member.key), parts);
}

Difference difference(const std::string& key, const Node* from, const Node* to) {
    const auto written = [](const Node* node) {
        return node == nullptr ? std::nullopt : std::optional(flow_text(*node));
    };
    Difference one{key, written(from), written(to)};
    add_parts(from, to, key, one.parts);
    return one;
}

void compare(const Node& from, const Node& to, const std::string& path, std::vector<Difference>& found) {
    const bool at_root = path.empty();
    const auto counts = [&](const Member& member) {
        return !at_root ||
               std::find(not_compared.begin(), not_compared.end(), member.key) == not_compared.end();
    };
    for (const Member& member : to.members) {
        if (!counts(member)) continue;
        const std::string key = joined(path, member.key);
        const Member* other = from.find(member.key);
        if (other == nullptr) {
            found.push_back(difference(key, nullptr, &member.value));
        } else if (same_value(other->value, member.value)) {
            continue;
        } else if (is_one_value(key, other->value, member.value)) {
            found.push_back(difference(key, &other->value, &member.value));
        } else {
            compare(other->value, member.value, key, found);
        }
    }
    for (const Member& member : from.members) {
        if (counts(member) && to.find(member.key) == nullptr) {
            found.push_back(difference(joined(path, member.key), &member.value, nullptr));
        }
    }
}

} // namespace

std::vector<Difference> differences(const Document& from, const Document& to) {
    std::vector<Difference> found;
    compare(from.root(), to.root(), "", found);
    return found;
}

std::string variant_text(const Document& from, const Document& to, const std::string& title,
                         const std::string& from_name) {
    const auto written = [](const std::string& text) {
        Node scalar;
        scalar.kind = Node::Kind::scalar;
        scalar.text = text;
        return flow_text(scalar);
    };
    std::string text = fmt::format("format: 1\ntitle: {}\nfrom: {}\n", written(title), written(from_name));
    const std::vector<Difference> changes = differences(from, to);
    if (!changes.empty()) text += "change:\n";
    for (const Difference& change : changes)
        text += fmt::format("  {}: {}\n", written(change.key), change.to.value_or("null"));
    return text;
}

Document undone(const Document& to, const Document& from, const Difference& difference) {
    const Member* before = find_at(from.root(), difference.key);
    const Member* after = find_at(to.root(), difference.key);
    const bool is_between =
        (before != nullptr) == difference.from.has_value() && (after != nullptr) == difference.to.has_value();
    if (!is_between || (before == nullptr && after == nullptr)) {
        throw std::invalid_argument("undone: the difference is not between these two documents");
    }
    Node root = to.root();
    Member change{difference.key, (before != nullptr ? before : after)->place, {}};
    if (before != nullptr) change.value = before->value;
    apply(root, change);
    return {to.chain(), std::move(root)};
}

} // namespace valve::setup
