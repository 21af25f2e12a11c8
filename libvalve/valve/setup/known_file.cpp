#include <valve/core/error.hpp>
#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/detail/yaml.hpp>
#include <valve/setup/known_file.hpp>
#include <valve/setup/search_part.hpp>

#include <algorithm>
#include <array>
#include <memory>
#include <string_view>

namespace valve::setup {
namespace {

constexpr std::string_view format = "format";

struct Kind {
    const char* key;
    const char* what;
};

/// Files with a key that no set-up has.
constexpr std::array<Kind, 5> kinds{{{"event", "an event"},
                                     {"goal", "a goal"},
                                     {"drawer", "a drawer"},
                                     {"words", "a table of words"},
                                     {"search_part", "a part of a search"}}};

/// Keys of a variant that variant_text() writes.
constexpr std::array<std::string_view, 4> written_keys{format, "title", "from", "change"};

bool has_format_line(const std::string& text) {
    const std::string start = std::string(format) + ":";
    return text.starts_with(start) || text.find("\n" + start) != std::string::npos;
}

std::string variant_of(const Node& root, const std::string& path) {
    const Member* from = root.find("from");
    const bool is_bare = std::all_of(root.members.begin(), root.members.end(), [](const Member& member) {
        return std::find(written_keys.begin(), written_keys.end(), member.key) != written_keys.end();
    });
    if (from == nullptr || from->value.kind != Node::Kind::scalar || !is_bare) return {};
    return file_origin().beside(path, from->value.text);
}

std::optional<std::pair<int, int>> part_at(const std::string& path) {
    try {
        const SearchPartFile part = SearchPartFile::load(path);
        return std::pair(part.part, part.of);
    } catch (const InputError&) {
        return std::nullopt; // one that somebody has changed
    }
}

} // namespace

std::optional<KnownFile> known_file(const std::string& path) {
    FileText file = read_file(path);
    if (!file.fault.empty()) return std::nullopt;
    const KnownFile unfinished{"a file with format:, though with an error in it", {}};
    const bool is_claimed = has_format_line(file.text);
    try {
        const Node root = parse_yaml(std::make_shared<const Source>(Source{path, std::move(file.text)}));
        if (root.find(format) == nullptr) return std::nullopt;
        for (const Kind& kind : kinds)
            if (root.find(kind.key) != nullptr)
                return KnownFile{kind.what, {}, kind.key == kinds.back().key ? part_at(path) : std::nullopt};
        return KnownFile{"a set-up", variant_of(root, path)};
    } catch (const InputError&) {
        return is_claimed ? std::optional(unfinished) : std::nullopt;
    }
}

} // namespace valve::setup
