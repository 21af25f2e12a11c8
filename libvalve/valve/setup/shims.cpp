#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/shims.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>
#include <utility>

namespace valve::setup {

std::string shim_text(double outer_diameter, double thickness) {
    const auto mm = [](double length) { return fmt::format("{}", std::round(1e9 * length) / 1e6); };
    std::string thick = mm(thickness);
    const std::size_t point = thick.find('.');
    constexpr std::size_t least = 2; // decimals
    const std::size_t decimals = point == std::string::npos ? 0 : thick.size() - point - 1;
    if (decimals < least) thick = fmt::format("{:.2f}", 1e3 * thickness);
    return fmt::format("{} x {}", mm(outer_diameter), thick);
}

namespace {

/// A shim as written, and how many.
struct ShimText {
    stack::Shim shim;
    int count = 1;
};

Keys shim_keys(ShimText& text) {
    Key how_many{"count",
                 "how many of these lie on each other",
                 Count{1, 100, [&text](int n) { text.count = n; }, {}},
                 false,
                 "1",
                 {}};
    Key material{"material",
                 "of this shim, where it differs from the stack's",
                 Map{[&text] { return material_keys(text.shim.material); }, false},
                 false,
                 "the stack's",
                 {}};
    return {
        required(
            diameter("outer", text.shim.outer_radius, above_to(0.0, 200.0), "outer diameter of the shim")),
        required(quantity("thickness", text.shim.thickness, "mm", above_to(0.0, 5.0), "of the shim")),
        std::move(how_many),
        std::move(material),
    };
}

/// "6 * 24 x 0.15" as the map that says the same.
Node as_map(const Node& scalar, const std::string& path) {
    std::string_view rest = scalar.text;
    Node map;
    map.kind = Node::Kind::map;
    map.place = scalar.place;
    const auto add = [&](const char* key, std::string_view text) {
        Node value = scalar;
        value.text = trimmed(text);
        map.members.push_back({key, scalar.place, std::move(value)});
    };
    if (const auto star = rest.find('*'); star != std::string_view::npos) {
        add("count", rest.substr(0, star));
        rest.remove_prefix(star + 1);
    }
    constexpr std::string_view times = "×";
    const auto cross_in = [&](std::string_view text) { return std::min(text.find('x'), text.find(times)); };
    const auto cross = cross_in(rest);
    if (cross == std::string_view::npos || cross_in(rest.substr(cross + 1)) != std::string_view::npos) {
        fail(scalar.place, path,
             fmt::format("{} is no shim; expected [count *] outer x thickness in mm, e.g. 4 * 24 x 0.15",
                         in_quotes(scalar.text)));
    }
    add("outer", rest.substr(0, cross));
    add("thickness", rest.substr(cross + (rest[cross] == 'x' ? 1 : times.size())));
    return map;
}

/// How many shims an item of a list stands for.
int count_of(const Node& item) {
    const Node map = item.kind == Node::Kind::scalar ? as_map(item, "") : item;
    const Member* count = map.find("count");
    return count == nullptr ? 1 : static_cast<int>(parse_number(count->value.text));
}

/// The item for another number of the same shims.
Node counted(Node item, int count) {
    const std::string number = std::to_string(count);
    if (item.kind == Node::Kind::scalar) {
        const std::size_t star = item.text.find('*');
        const std::string_view shim =
            std::string_view(item.text).substr(star == std::string::npos ? 0 : star + 1);
        item.text = count == 1 ? std::string(trimmed(shim)) : fmt::format("{} * {}", number, trimmed(shim));
        return item;
    }
    if (Member* member = item.find("count")) {
        member->value.text = number;
    } else {
        Node value;
        value.kind = Node::Kind::scalar;
        value.place = item.place;
        value.text = number;
        item.members.push_back({"count", item.place, std::move(value)});
    }
    return item;
}

/// The length at `key` of a shim, a length [m] in mm where it is bare.
double length_of(const Node& map, const char* key) {
    return parse_quantity(map.find(key)->value.text, "mm");
}

/// One shim like those of `item`, its length at `key` changed by `step` [m].
Node resized(const Node& item, const char* key, double step) {
    Node one = item.kind == Node::Kind::scalar ? as_map(item, "") : item;
    one = counted(std::move(one), 1);
    const double length = length_of(one, key) + step;
    // Sizes are told to a micrometre, so that 0.15 + 0.05 is 0.2.
    one.find(key)->value.text = format_quantity(std::round(length * 1e6) / 1e6, "mm");
    if (item.kind == Node::Kind::map) return one;
    Node scalar = item;
    scalar.text = shim_text(length_of(one, "outer"), length_of(one, "thickness"));
    return scalar;
}

/// One shim of an item, as written.
std::string one_of(const Node& item) {
    return item.kind == Node::Kind::scalar ? counted(item, 1).text : flow_text(counted(item, 1));
}

/// Whether no other item of `list` is of the size of item `i`.
bool is_alone(const Node& list, std::size_t i) {
    const auto map = [&](std::size_t k) {
        const Node& item = list.items[k];
        return item.kind == Node::Kind::scalar ? as_map(item, "") : item;
    };
    const Node mine = map(i);
    for (std::size_t k = 0; k < list.items.size(); ++k) {
        if (k == i) continue;
        const Node other = map(k);
        const auto differs = [&](const char* key) {
            return std::abs(length_of(other, key) - length_of(mine, key)) > 1e-9;
        };
        if (!differs("outer") && !differs("thickness")) return false;
    }
    return true;
}

/// `list` with item `i` changed; none where that cannot be.
std::optional<ShimVariant> changed(const Node& list, std::size_t i, ShimChange change) {
    ShimVariant variant;
    variant.change = change;
    variant.item = static_cast<int>(i) + 1;
    variant.was = one_of(list.items[i]);
    variant.is_alone = is_alone(list, i);
    if (i > 0) variant.behind = one_of(list.items[i - 1]);
    Node result = list;
    Node& item = result.items[i];
    const int count = count_of(item);
    const auto end_of_item = result.items.begin() + static_cast<std::ptrdiff_t>(i);
    // Takes one shim out of the item; true where there are others in it.
    const auto keeps_others = [&] {
        if (count > 1) item = counted(item, count - 1);
        return count > 1;
    };
    const auto replace_one = [&](const char* key, double step) {
        const Node one = resized(item, key, step);
        variant.becomes = one_of(one);
        if (keeps_others())
            result.items.insert(end_of_item + 1, one);
        else
            item = one;
    };
    const Node map = item.kind == Node::Kind::scalar ? as_map(item, "") : item;
    switch (change) {
    case ShimChange::more:
        item = counted(item, count + 1);
        break;
    case ShimChange::fewer:
        if (keeps_others()) break;
        result.items.erase(end_of_item);
        if (result.items.empty()) return std::nullopt;
        break;
    case ShimChange::thicker:
        replace_one("thickness", thickness_step);
        break;
    case ShimChange::thinner:
        if (length_of(map, "thickness") - thickness_step < thinnest_strip - 1e-9) return std::nullopt;
        replace_one("thickness", -thickness_step);
        break;
    case ShimChange::smaller:
        replace_one("outer", -diameter_step);
        break;
    }
    variant.shims = flow_text(result);
    return variant;
}

} // namespace

Keys material_keys(plate::Material& material) {
    return {
        usual(40.0, 420.0, "strip of metal has 40 to 420, steel 206; is it in GPa?",
              quantity("E", material.youngs_modulus, "GPa", above_to(0.0, 1000.0), "Young's modulus")),
        quantity("nu", material.poisson_ratio, "", from_to(0.0, 0.49), "Poisson's ratio"),
        quantity("density", material.density, "kg/m3", above_to(0.0, 25000.0), "of the strip"),
        quantity("yield", material.yield_strength, "MPa", above_to(0.0, 5000.0), "yield strength"),
        quantity("fatigue", material.fatigue_limit, "MPa", above_to(0.0, 5000.0),
                 "largest stress amplitude for endless life"),
    };
}

std::vector<stack::Shim> read_shims(const Node& list, const std::string& path, const plate::Material& strip,
                                    Reader& reader, const ShimRoom& room) {
    if (list.kind != Node::Kind::list || list.items.empty()) {
        fail(list.place, path,
             fmt::format("expected a list of shims, e.g. [4 * 24 x 0.15, 22 x 0.15], but found {}",
                         list.kind == Node::Kind::list ? "an empty one" : described(list)));
    }
    std::vector<stack::Shim> shims;
    for (std::size_t i = 0; i < list.items.size(); ++i) {
        const Node& item = list.items[i];
        const std::string item_path = fmt::format("{}[{}]", path, i + 1);
        if (i + 1 < list.items.size() && item.kind == Node::Kind::scalar)
            refuse_decimal_comma(item.place, item_path, item.text, list.items[i + 1].text);
        ShimText text;
        text.shim.material = strip;
        reader.read(item.kind == Node::Kind::scalar ? as_map(item, item_path) : item, item_path,
                    shim_keys(text));
        if (shims.size() + static_cast<std::size_t>(text.count) > room.most) {
            fail(item.place, item_path, fmt::format("more than {} shims in one {}", room.most, room.name));
        }
        shims.insert(shims.end(), static_cast<std::size_t>(text.count), text.shim);
    }
    return shims;
}

Node with_face_shims(const Node& list, int more) {
    Node result = list;
    if (result.items.empty()) throw std::invalid_argument("with_face_shims: there is no face shim");
    if (more >= 0) {
        result.items.front() = counted(result.items.front(), count_of(result.items.front()) + more);
        return result;
    }
    int left = -more;
    while (left > 0 && !result.items.empty()) {
        const int here = count_of(result.items.front());
        if (here > left) {
            result.items.front() = counted(result.items.front(), here - left);
            return result;
        }
        left -= here;
        result.items.erase(result.items.begin());
    }
    if (left > 0 || result.items.empty())
        throw std::invalid_argument("with_face_shims: that would leave no shims");
    return result;
}

Document with_face_shims(const Document& document, const std::string& valve, int more) {
    const std::string key = joined(valve, "shims");
    const Member* shims = find_at(document.root(), key);
    if (shims == nullptr) throw std::invalid_argument("with_face_shims: there are no shims");
    return document.with(key, flow_text(with_face_shims(shims->value, more)));
}

std::vector<ShimVariant> shim_variants(const Document& document, const std::string& valve) {
    std::vector<ShimVariant> variants;
    const Member* shims = find_at(document.root(), joined(valve, "shims"));
    if (shims == nullptr) return variants;
    for (std::size_t i = 0; i < shims->value.items.size(); ++i)
        for (const ShimChange change : {ShimChange::more, ShimChange::fewer, ShimChange::thicker,
                                        ShimChange::thinner, ShimChange::smaller})
            if (std::optional<ShimVariant> variant = changed(shims->value, i, change))
                variants.push_back(*std::move(variant));
    return variants;
}

} // namespace valve::setup
