#include <valve/core/error.hpp>
#include <valve/core/text.hpp>
#include <valve/setup/detail/edit.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/detail/yaml.hpp>
#include <valve/setup/document.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <utility>

namespace valve::setup {
namespace {

/// Keys that a variant holds itself; the rest comes from the file it names and from `change:`.
constexpr std::array<std::string_view, 6> variant_keys{"format", "title", "from", "change", "note", "result"};

/// Follows `from:` to the first file and applies the changes on the way back.
class Chain {
public:
    explicit Chain(Origin origin) : m_origin(std::move(origin)) {}

    Node load(const std::string& path) {
        FileText file = m_origin.read(path);
        if (!file.fault.empty())
            throw InputError(fmt::format("{}: error: cannot be read: {}", path, file.fault));
        return parse(path, std::move(file.text));
    }

    /// The files read, from the one asked for to the last.
    const std::vector<std::string>& paths() const { return m_paths; }

private:
    Node parse(const std::string& path, std::string text) {
        m_paths.push_back(path);
        Node root = parsed_root(path, std::move(text), "a set-up file");
        const Member* from = root.find("from");
        return from == nullptr ? whole(std::move(root)) : variant(root, from->value);
    }

    Node whole(Node root) const {
        if (const Member* change = root.find("change")) {
            fail(change->place, "change", "there is nothing to change: name the other file with from:");
        }
        return root;
    }

    Node variant(const Node& own, const Node& from) {
        for (const Member& member : own.members) {
            if (std::find(variant_keys.begin(), variant_keys.end(), member.key) == variant_keys.end()) {
                fail(member.place, member.key, "a file with from: gives values below change:");
            }
        }
        Node root = base(from);
        for (const std::string_view key : variant_keys) {
            std::erase_if(root.members, [&](const Member& member) { return member.key == key; });
            const Member* member = own.find(key);
            if (member != nullptr && key != "from" && key != "change") root.members.push_back(*member);
        }
        if (const Member* change = own.find("change")) {
            if (change->value.kind != Node::Kind::map) {
                fail(change->value.place, "change",
                     fmt::format("expected a map of dotted keys, but found {}", described(change->value)));
            }
            for (const Member& member : change->value.members)
                apply(root, member);
        }
        return root;
    }

    Node base(const Node& from) {
        if (from.kind != Node::Kind::scalar || from.text.empty()) {
            fail(from.place, "from", fmt::format("expected a file name, but found {}", described(from)));
        }
        const std::string path = m_origin.beside(m_paths.back(), from.text);
        const bool is_cycle = std::any_of(m_paths.begin(), m_paths.end(), [&](const std::string& other) {
            return m_origin.is_same(path, other);
        });
        const std::string shown = fmt::format("{} → {}", fmt::join(m_paths, " → "), path);
        if (is_cycle) fail(from.place, "from", fmt::format("the files go round in a circle: {}", shown));
        if (m_paths.size() >= deepest_nesting) {
            fail(from.place, "from", fmt::format("more than {} files in a chain", deepest_nesting));
        }
        FileText file = m_origin.read(path);
        if (!file.fault.empty()) {
            fail(from.place, "from",
                 fmt::format("{} cannot be read: {} ({})", in_quotes(path), file.fault, shown));
        }
        return parse(path, std::move(file.text));
    }

    Origin m_origin;
    std::vector<std::string> m_paths; ///< from the file asked for to the one being read
};

/// The tree of a chain with the overrides put in.
Node overridden(Node root, const std::vector<Override>& overrides) {
    for (const Override& override : overrides)
        apply(root, parsed_change(override.key, override.value, override.source));
    return root;
}

} // namespace

Document::Document(std::vector<std::string> chain, Node root)
    : m_chain(std::move(chain)), m_root(std::make_shared<const Node>(std::move(root))) {}

Document Document::load(const std::string& path, const std::vector<Override>& overrides) {
    Chain chain(file_origin());
    Node root = chain.load(path);
    return {chain.paths(), overridden(std::move(root), overrides)};
}

Document Document::parse(const std::string& text, const std::string& name, const TextByName& others,
                         const std::vector<Override>& overrides) {
    const Origin origin = memory_origin([&](const std::string& asked) -> std::optional<std::string> {
        if (asked == name) return text;
        return others ? others(asked) : std::nullopt;
    });
    Chain chain(origin);
    Node root = chain.load(name);
    return {chain.paths(), overridden(std::move(root), overrides)};
}

} // namespace valve::setup
