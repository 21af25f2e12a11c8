#include <valve/core/error.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <fmt/format.h>

#include <memory>
#include <utility>

namespace valve::setup {
namespace {

void check_format(const Node& root, std::string_view what) {
    if (root.kind == Node::Kind::null) fail(root.place, "", "the file is empty");
    if (root.kind != Node::Kind::map) {
        fail(root.place, "",
             fmt::format("expected keys with values, e.g. format: 1, but found {}", described(root)));
    }
    const Member* format = root.find("format");
    if (format == nullptr) fail(root.place, "format", fmt::format("missing: {} says format: 1", what));
    if (format->value.text != "1") {
        fail(format->value.place, "format",
             fmt::format("{} is not known; expected 1", described(format->value)));
    }
}

Node root_of(FileText file, const std::string& name, std::string_view what) {
    if (!file.fault.empty()) throw InputError(fmt::format("{}: error: cannot be read: {}", name, file.fault));
    return parsed_root(name, std::move(file.text), what);
}

} // namespace

Node parsed_root(const std::string& name, std::string text, std::string_view what) {
    const auto source = std::make_shared<const Source>(Source{name, std::move(text)});
    Node root = parse_yaml(source);
    if (root.place.source == nullptr) root.place = {source, 1, 1}; // an empty file has no value to stand at
    check_format(root, what);
    return root;
}

Node root_of_file(const std::string& path, std::string_view what) {
    return root_of(file_origin().read(path), path, what);
}

Node root_of_text(const std::string& text, const std::string& name, std::string_view what) {
    const Origin origin = memory_origin([&](const std::string&) { return text; });
    return root_of(origin.read(name), name, what);
}

} // namespace valve::setup
