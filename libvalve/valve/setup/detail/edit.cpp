#include <valve/core/text.hpp>
#include <valve/setup/detail/edit.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <utility>

namespace valve::setup {
namespace {

void check_key(const Member& change, const std::vector<std::string>& parts) {
    if (std::any_of(parts.begin(), parts.end(),
                    [](const std::string& part) { return trimmed(part).empty(); })) {
        fail(change.place, change.key, "expected a dotted key, e.g. valves.base.refill.float.rate");
    }
    if (parts[0] == "format" || parts[0] == "from" || parts[0] == "change") {
        fail(change.place, change.key, "cannot be changed from outside its file");
    }
}

void put(Node& map, const std::string& key, const Member& change) {
    if (Member* member = map.find(key)) {
        *member = {key, change.place, change.value};
    } else {
        map.members.push_back({key, change.place, change.value});
    }
}

void remove(Node& map, const std::string& key, const Member& change) {
    const auto erased = std::erase_if(map.members, [&](const Member& member) { return member.key == key; });
    if (erased == 0) fail(change.place, change.key, "there is no such key to remove");
    map.removed.push_back({key, change.place});
}

} // namespace

void apply(Node& root, const Member& change) {
    const std::vector<std::string> parts = split_key(change.key);
    check_key(change, parts);
    Node* map = &root;
    std::string path;
    for (std::size_t i = 0; i + 1 < parts.size(); ++i) {
        path = joined(path, parts[i]);
        if (map->find(parts[i]) == nullptr) {
            if (change.value.kind == Node::Kind::null) {
                fail(change.place, change.key, fmt::format("there is no such key to remove: no {}", path));
            }
            Node made;
            made.kind = Node::Kind::map;
            made.place = change.place;
            map->members.push_back({parts[i], change.place, std::move(made)});
        }
        map = &map->find(parts[i])->value;
        if (map->kind != Node::Kind::map) {
            fail(change.place, change.key,
                 fmt::format("{} is {}, with no keys below it", path, described(*map)), map->place, path);
        }
    }
    if (change.value.kind == Node::Kind::null) {
        remove(*map, parts.back(), change);
    } else {
        put(*map, parts.back(), change);
    }
}

Member parsed_change(const std::string& key, const std::string& value, const std::string& source) {
    const std::string prefix = key + "=";
    const auto text = std::make_shared<const Source>(Source{source, prefix + value, false});
    if (trimmed(value).empty())
        fail({text, 1, prefix.size() + 1}, key, "no value; null would remove the key");
    Node parsed = parse_yaml(text, prefix.size());
    return {key, {text, 1, 1}, std::move(parsed)};
}

} // namespace valve::setup
