#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/edit.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/setup/read.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace valve::setup {
namespace {

constexpr std::string_view template_valve = "base.compression"; // whose keys stand for those of all valves

std::string with_unit(double value, std::string_view unit_symbol) {
    return unit_symbol.empty() ? format_number(value)
                               : fmt::format("{} {}", format_number(value), unit_symbol);
}

/// The keys below one.
struct KeysBelow {
    Keys operator()(const Map& map) const { return map.keys(); }
    Keys operator()(const Form& form) const { return form.keys ? form.keys() : Keys(); }
    template <class Scalar>
    Keys operator()(const Scalar&) const {
        return {};
    }
};

/// A key by its dotted name.
struct Declared {
    std::string name;
    Key key;
};

/// Every key of a set-up file in the order of one, and of the further files, bound to structs that stay
/// empty.
class Declarations {
public:
    Declarations() {
        add(unit_keys(m_unit), "", m_all);
        add({lone_valve_keys(m_valve).back()}, "", m_all);
        add({event_key(m_event), goal_key(m_goal), drawer_key(m_drawer), words_key(m_words)}, "", m_further);
    }
    Declarations(const Declarations&) = delete;
    Declarations& operator=(const Declarations&) = delete;

    const std::vector<Declared>& all() const { return m_all; }
    const std::vector<Declared>& further() const { return m_further; }

    const Key* find(std::string_view name) const {
        const auto found =
            std::find_if(m_all.begin(), m_all.end(), [&](const Declared& d) { return d.name == name; });
        return found == m_all.end() ? nullptr : &found->key;
    }

private:
    static void add(const Keys& keys, const std::string& path, std::vector<Declared>& list) {
        for (const Key& key : keys) {
            const std::string name = joined(path, key.name);
            list.push_back({name, key});
            add(std::visit(KeysBelow{}, key.value), name, list);
        }
    }

    UnitText m_unit;
    LoneValveText m_valve;
    EventText m_event;
    Goal m_goal;
    Drawer m_drawer;
    RiderWords m_words;
    std::vector<Declared> m_all;
    std::vector<Declared> m_further;
};

const Declarations& declarations() {
    static const Declarations known;
    return known;
}

bool is_place(const std::string& name) {
    return std::any_of(damper::all_places.begin(), damper::all_places.end(),
                       [&](damper::Place place) { return name == damper::name(place); });
}

/// The name under which a key of any valve is declared.
std::string declared_name(std::string_view key) {
    std::vector<std::string> parts = split_key(key);
    if (parts.size() > 1 && parts[0] == "valves" && is_place(parts[1])) parts[1] = template_valve;
    if (parts.size() > 1 && parts[0] == "valve") {
        parts[0] = template_valve;
        parts.insert(parts.begin(), "valves");
    }
    return fmt::format("{}", fmt::join(parts, "."));
}

/// Kinematic viscosity at one temperature.
const Key& viscosity_point() {
    static const Key point{"viscosity",
                           "kinematic, at this temperature",
                           Quantity{"mm2/s", above_to(0.0, 1e4), {}, {}},
                           false,
                           {},
                           {}};
    return point;
}

const Key* find_declared(std::string_view key) {
    const std::vector<std::string> parts = split_key(key);
    if (parts.size() == 3 && parts[0] == "oil" && parts[1] == "viscosity") return &viscosity_point();
    return declarations().find(declared_name(key));
}

/// The names of all keys, those of each valve too.
std::vector<std::string> all_names() {
    std::vector<std::string> names;
    const std::string valve = fmt::format("valves.{}", template_valve);
    for (const Declared& declared : declarations().all()) {
        if (!declared.name.starts_with(valve) || declared.name == valve) {
            names.push_back(declared.name);
            continue;
        }
        for (const damper::Place place : damper::all_places)
            names.push_back(fmt::format("valves.{}{}", name(place), declared.name.substr(valve.size())));
    }
    return names;
}

const Key& declared(std::string_view key) {
    if (const Key* found = find_declared(key)) return *found;
    const std::string hint = did_you_mean(full_key(key), all_names());
    throw InputError(fmt::format("{}: no set-up has this key{}", printable(key, 120), hint));
}

/// Fills what depends on the kind of value.
struct Describe {
    Parameter& row;

    void operator()(const Quantity& quantity) const {
        row.type = name(unit(quantity.unit).dimension);
        row.unit = quantity.unit;
        row.range = range_text(quantity);
        row.limits = quantity.range;
    }
    void operator()(const Count& count) const {
        row.type = "whole number";
        row.range = fmt::format("{} to {}", count.low, count.high);
        row.limits = from_to(count.low, count.high);
    }
    void operator()(const Choice& choice) const {
        row.type = fmt::format("{}", fmt::join(choice.names, " | "));
    }
    void operator()(const Text&) const { row.type = "text"; }
    void operator()(const Map&) const { row.type = "map"; }
    void operator()(const Form& form) const { row.type = form.type; }
};

Parameter described_key(const std::string& name, const Key& key) {
    Parameter row;
    row.key = name;
    row.file = set_up_file;
    row.doc = key.doc;
    row.fallback = default_text(key).empty() ? key.otherwise : default_text(key);
    row.is_required = key.is_required;
    row.kinds = key.kinds;
    std::visit(Describe{row}, key.value);
    return row;
}

std::vector<Parameter> described_keys(const std::vector<Declared>& list) {
    std::vector<Parameter> rows;
    for (const Declared& declared : list)
        rows.push_back(described_key(declared.name, declared.key));
    return rows;
}

/// A value as it could be written, its unit said.
Value value_of(const Node& node, const std::string& key, const Key& declaration, bool is_written) {
    Value value{flow_text(node), scalar_value(node, key, declaration), is_written};
    const auto* quantity = std::get_if<Quantity>(&declaration.value);
    if (quantity != nullptr && value.number) value.text = format_quantity(*value.number, quantity->unit);
    return value;
}

} // namespace

std::vector<Parameter> parameters() {
    return described_keys(declarations().all());
}

std::vector<Parameter> further_parameters() {
    std::vector<Parameter> rows = described_keys(declarations().further());
    for (Parameter& row : rows)
        row.file = split_key(row.key).front();
    return rows;
}

Parameter parameter(std::string_view key) {
    return described_key(full_key(key), declared(key));
}

std::string full_key(std::string_view key) {
    return fmt::format("{}", fmt::join(split_key(key), "."));
}

std::string bare_unit(const std::string& key) {
    const Key* found = find_declared(key);
    const auto* quantity = found == nullptr ? nullptr : std::get_if<Quantity>(&found->value);
    return quantity == nullptr ? std::string() : std::string(quantity->unit);
}

std::optional<Value> Document::get(std::string_view key) const {
    const Key& declaration = declared(key);
    const std::string name = full_key(key);
    if (const Member* member = find_at(root(), name)) {
        if (member->value.kind == Node::Kind::null) return std::nullopt;
        return value_of(member->value, name, declaration, true);
    }
    for (const DefaultUsed& used : read(*this).defaults) {
        if (used.key != name) continue;
        Node node;
        node.kind = Node::Kind::scalar;
        node.place = root().place;
        node.text = used.value;
        return value_of(node, name, declaration, false);
    }
    return std::nullopt;
}

Document Document::with(const std::string& key, const std::string& value) const {
    const Key& declaration = declared(key);
    const Member change = parsed_change(full_key(key), value, "edit");
    if (change.value.kind != Node::Kind::null) scalar_value(change.value, change.key, declaration);
    Node root = *m_root;
    apply(root, change);
    return {m_chain, std::move(root)};
}

Document Document::with(const std::string& key, double value) const {
    const Key& declaration = declared(key);
    if (const auto* quantity = std::get_if<Quantity>(&declaration.value))
        return with(key, format_quantity(value, quantity->unit));
    if (std::get_if<Count>(&declaration.value) != nullptr) return with(key, format_number(value));
    throw std::invalid_argument("Document::with: " + key + " holds no number");
}

Document Document::without(const std::string& key) const {
    declared(key);
    return find_at(*m_root, full_key(key)) == nullptr ? *this : with(key, "null");
}

std::string range_text(const Quantity& quantity) {
    const std::string high = with_unit(quantity.range.high, quantity.unit);
    if (quantity.range.low_included) return fmt::format("{} to {}", format_number(quantity.range.low), high);
    return fmt::format("more than {}, at most {}", format_number(quantity.range.low), high);
}

std::string default_text(const Key& key) {
    if (key.is_required) return {};
    if (const auto* quantity = std::get_if<Quantity>(&key.value); quantity != nullptr && quantity->fallback) {
        return format_quantity(*quantity->fallback, quantity->unit);
    }
    if (const auto* count = std::get_if<Count>(&key.value); count != nullptr && count->fallback) {
        return std::to_string(*count->fallback);
    }
    if (const auto* choice = std::get_if<Choice>(&key.value); choice != nullptr && choice->fallback) {
        return choice->names[*choice->fallback];
    }
    return {};
}

} // namespace valve::setup
