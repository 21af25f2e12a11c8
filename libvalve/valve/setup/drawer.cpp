#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/drawer.hpp>
#include <valve/setup/shims.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string_view>

namespace valve::setup {
namespace {

constexpr const char* drawer_file = "a drawer file";

/// The shims of a list, each size once.
std::vector<ShimSize> read_sizes(const Node& list, const std::string& path, Reader& reader) {
    for (std::size_t i = 0; i < list.items.size(); ++i)
        if (const Member* material = list.items[i].find("material"))
            fail(material->place, fmt::format("{}[{}].material", path, i + 1),
                 "shims of a drawer take the material of the stack that they go into");
    std::vector<ShimSize> sizes;
    for (const stack::Shim& shim : read_shims(list, path, {}, reader, {5000, "drawer"})) {
        const ShimSize one{shim.outer_radius, shim.thickness, 1};
        const auto known = std::find_if(sizes.begin(), sizes.end(),
                                        [&](const ShimSize& size) { return size.same_size(one); });
        if (known == sizes.end())
            sizes.push_back(one);
        else
            ++known->count;
    }
    return sizes;
}

/// A list of one kind of quantity, rising, each value once.
Key quantities(const char* name, std::vector<double>& target, std::string_view unit, Range range,
               std::string_view example, const char* doc) {
    const auto read = [&target, unit, range, example](const Node& list, const std::string& path, Reader&) {
        if (list.kind != Node::Kind::list || list.items.empty())
            fail(list.place, path,
                 fmt::format("expected a list, e.g. {}, but found {}", example,
                             list.kind == Node::Kind::list ? "an empty one" : described(list)));
        for (std::size_t i = 0; i < list.items.size(); ++i) {
            const std::string item = fmt::format("{}[{}]", path, i + 1);
            if (i + 1 < list.items.size())
                refuse_decimal_comma(list.items[i].place, item, list.items[i].text, list.items[i + 1].text);
            read_quantity(list.items[i], item,
                          {unit, range, [&target](double value) { target.push_back(value); }, {}});
        }
        std::sort(target.begin(), target.end());
        target.erase(std::unique(target.begin(), target.end()), target.end());
    };
    return form(name, "list", read, doc);
}

Keys drawer_keys(Drawer& drawer) {
    const auto shims = [&drawer](const Node& list, const std::string& path, Reader& reader) {
        drawer.shims = read_sizes(list, path, reader);
    };
    return {
        form("shims", "list of shims", shims, "how many there are of each size, e.g. 12 * 24 x 0.15"),
        quantities("sleeves", drawer.sleeves, "mm", above_to(0.0, 50.0), "[1.40 mm, 1.65 mm]",
                   "lengths of sleeves under the stop of a float"),
        quantities("springs", drawer.springs, "N/mm", above_to(0.0, 1000.0), "[4.6 N/mm, 4.8 N/mm]",
                   "rates of main springs"),
        quantities("coils", drawer.coils, "N/mm", above_to(0.0, 10000.0), "[0.8 N/mm, 20 N/mm]",
                   "rates of coils of floats, as long as the one that is there"),
        quantity("height", drawer.height, "mm", above_to(0.0, 50.0), "most that a stack may be high",
                 "0.5 mm more than the present stack"),
    };
}

Drawer drawer_of(const Node& root, const std::string& path) {
    Drawer drawer;
    drawer.path = path;
    std::string note;
    Reading reading; // for defaults and warnings, of which drawers have none
    Reader reader(root, reading);
    reader.read(root, "",
                {format_key(), text("title", drawer.title, "one line that names the drawer"),
                 text("note", note, "free text"), drawer_key(drawer)});
    if (drawer.shims.empty() && drawer.sleeves.empty() && drawer.springs.empty() && drawer.coils.empty())
        reader.fail_at("drawer", "there is nothing in it; give shims, sleeves, springs or coils");
    if (drawer.title.empty()) drawer.title = std::filesystem::path(path).filename().string();
    return drawer;
}

} // namespace

Key drawer_key(Drawer& drawer) {
    return required(map("drawer", drawer, drawer_keys, "what lies at hand: shims, sleeves, springs, coils"));
}

Drawer Drawer::load(const std::string& path) {
    return drawer_of(root_of_file(path, drawer_file), path);
}

Drawer Drawer::parse(const std::string& text, const std::string& name) {
    return drawer_of(root_of_text(text, name, drawer_file), name);
}

} // namespace valve::setup
