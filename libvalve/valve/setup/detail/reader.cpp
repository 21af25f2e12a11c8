#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/parameter.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace valve::setup {
namespace {

/// Calls `parse` and adds the place to what it throws.
template <class Parse>
auto placed(const Node& value, const std::string& path, const Parse& parse) {
    try {
        return parse();
    } catch (const InputError& error) {
        fail(value.place, path, error.what());
    }
}

void expect_scalar(const Node& value, const std::string& path, std::string_view expected) {
    if (value.kind == Node::Kind::scalar) return;
    fail(value.place, path, fmt::format("expected {}, but found {}", expected, described(value)));
}

void read_count(const Node& value, const std::string& path, const Count& count) {
    expect_scalar(value, path, "a whole number");
    const double number = placed(value, path, [&] { return parse_number(value.text); });
    if (number != std::floor(number)) {
        fail(value.place, path, fmt::format("{} is not a whole number", in_quotes(value.text)));
    }
    if (number < count.low || number > count.high) {
        fail(value.place, path,
             fmt::format("{} is out of range; expected {} to {}", in_quotes(value.text), count.low,
                         count.high));
    }
    count.set(static_cast<int>(number));
}

void read_choice(const Node& value, const std::string& path, const Choice& choice) {
    const std::string expected = fmt::format("{}", fmt::join(choice.names, " | "));
    expect_scalar(value, path, expected);
    const auto found = std::find(choice.names.begin(), choice.names.end(), value.text);
    if (found == choice.names.end()) {
        fail(value.place, path,
             fmt::format("{} is not one of {}{}", in_quotes(value.text), expected,
                         did_you_mean(value.text, choice.names)));
    }
    choice.set(static_cast<std::size_t>(found - choice.names.begin()));
}

void read_text(const Node& value, const std::string& path, const Text& text) {
    if (value.kind == Node::Kind::null) return; // left blank
    expect_scalar(value, path, "text");
    *text.target = value.text;
}

void check_known(const Node& map, const std::string& path, const Keys& keys) {
    std::vector<std::string> names;
    names.reserve(keys.size());
    for (const Key& key : keys)
        names.push_back(key.name);
    for (std::size_t i = 0; i < map.members.size(); ++i) {
        const Member& member = map.members[i];
        if (std::find(names.begin(), names.end(), member.key) != names.end()) continue;
        if (i > 0 && member.value.kind == Node::Kind::null) {
            const Member& before = map.members[i - 1];
            refuse_decimal_comma(before.value.place, joined(path, before.key), before.value.text, member.key);
        }
        std::string hint = did_you_mean(member.key, names);
        if (hint.empty()) hint = fmt::format("; known here: {}", fmt::join(names, ", "));
        fail(member.place, joined(path, member.key), "unknown key" + hint);
    }
}

} // namespace

void read_quantity(const Node& value, const std::string& path, const Quantity& quantity) {
    const Unit& documented = unit(quantity.unit);
    expect_scalar(value, path, quantity_example(quantity.unit));
    const double si = placed(value, path, [&] { return parse_quantity(value.text, quantity.unit); });
    const double low = to_si(quantity.range.low, documented);
    const bool too_low = quantity.range.low_included ? si < low : si <= low;
    if (too_low || si > to_si(quantity.range.high, documented)) {
        fail(value.place, path,
             fmt::format("{} is out of range; expected {}", in_quotes(value.text), range_text(quantity)));
    }
    quantity.set(si);
}

std::optional<double> scalar_value(const Node& value, const std::string& path, const Key& key) {
    struct Check {
        const Node& value;
        const std::string& path;
        using Number = std::optional<double>;

        Number operator()(Quantity quantity) const {
            Number number;
            quantity.set = [&number](double si) { number = si; };
            read_quantity(value, path, quantity);
            return number;
        }
        Number operator()(Count count) const {
            Number number;
            count.set = [&number](int whole) { number = whole; };
            read_count(value, path, count);
            return number;
        }
        Number operator()(Choice choice) const {
            choice.set = [](std::size_t) {};
            read_choice(value, path, choice);
            return std::nullopt;
        }
        Number operator()(const Text&) const {
            std::string text;
            read_text(value, path, Text{&text});
            return std::nullopt;
        }
        Number operator()(const Map&) const { return std::nullopt; }
        Number operator()(const Form&) const { return std::nullopt; }
    };
    return std::visit(Check{value, path}, key.value);
}

void Reader::read(const Node& map, const std::string& path, const Keys& keys) {
    if (map.kind != Node::Kind::map) {
        fail(map.place, path, fmt::format("expected a map of keys, but found {}", described(map)));
    }
    check_known(map, path, keys);
    const Member* kind = map.find("kind");
    for (const Key& key : keys) {
        const Member* member = map.find(key.name);
        const bool applies =
            key.kinds.empty() || (kind != nullptr && std::find(key.kinds.begin(), key.kinds.end(),
                                                               kind->value.text) != key.kinds.end());
        if (member == nullptr) {
            if (applies) read_absent(map, path, key);
        } else if (!applies) {
            fail(member->place, joined(path, key.name),
                 fmt::format("belongs to kind {}, not to {}", fmt::join(key.kinds, " or "), kind->value.text),
                 kind->value.place, joined(path, "kind"));
        } else {
            read_value(member->value, joined(path, key.name), key);
        }
    }
}

void Reader::read_value(const Node& value, const std::string& path, const Key& key) {
    struct Read {
        const Node& value;
        const std::string& path;
        Reader& reader;

        void operator()(const Quantity& quantity) const {
            read_quantity(value, path, quantity);
            reader.ask(value, path, quantity);
        }
        void operator()(const Count& count) const { read_count(value, path, count); }
        void operator()(const Choice& choice) const { read_choice(value, path, choice); }
        void operator()(const Text& text) const { read_text(value, path, text); }
        void operator()(const Map& map) const { reader.read(value, path, map.keys()); }
        void operator()(const Form& form) const { form.read(value, path, reader); }
    };
    std::visit(Read{value, path, *this}, key.value);
}

/// A question where the value, which has been read, is unusual.
void Reader::ask(const Node& value, const std::string& path, const Quantity& quantity) {
    if (!quantity.usual) return;
    const double number = from_si(parse_quantity(value.text, quantity.unit), unit(quantity.unit));
    if (number == 0.0 || (number >= quantity.usual->low && number <= quantity.usual->high)) return;
    m_reading.warnings.push_back(message_at(value.place, "warning", path,
                                            fmt::format("{} is unusual: {:.4g} {}; {}", in_quotes(value.text),
                                                        number, quantity.unit, quantity.usual->question)));
}

void Reader::read_absent(const Node& map, const std::string& path, const Key& key) {
    if (key.is_required) fail_missing(map, path, key.name, key.doc);
    if (const auto* nested = std::get_if<Map>(&key.value); nested != nullptr && nested->has_defaults) {
        Node empty;
        empty.kind = Node::Kind::map;
        empty.place = map.place;
        read(empty, joined(path, key.name), nested->keys());
    } else if (const std::string fallback = default_text(key); !fallback.empty()) {
        assume(joined(path, key.name), fallback);
    }
}

void Reader::assume(const std::string& key, const std::string& value) {
    m_reading.defaults.push_back({key, value});
}

void Reader::fail_at(const std::string& key, std::string_view what) const {
    fail(place_of(m_root, key), key, what);
}

void Reader::fail_at(const std::string& key, std::string_view what, const std::string& other_key) const {
    fail(place_of(m_root, key), key, what, place_of(m_root, other_key), other_key);
}

void Reader::fail_missing(const std::string& path, std::string_view key, std::string_view what) const {
    const Member* member = path.empty() ? nullptr : find_at(m_root, path);
    fail_missing(member == nullptr ? m_root : member->value, path, key, what);
}

void Reader::fail_missing(const Node& map, const std::string& path, std::string_view key,
                          std::string_view what) const {
    for (const Node::Removal& removal : map.removed) {
        if (removal.key == key)
            fail(removal.place, joined(path, key), fmt::format("removed, but needed: {}", what));
    }
    // The key of a map is a better place for what it lacks than its first value.
    const Member* member = find_at(m_root, path);
    fail(member == nullptr ? map.place : member->place, joined(path, key), fmt::format("missing: {}", what));
}

bool Reader::is_written(const std::string& key) const {
    const Node* node = &m_root;
    for (const std::string& part : split_key(key)) {
        const Member* member = node->find(part);
        if (member == nullptr) return false;
        node = &member->value;
    }
    return true;
}

void Reader::take(const Findings& findings, const std::string& path) {
    for (const Finding& finding : findings) {
        const std::string key = joined(path, finding.key);
        if (finding.severity == Finding::Severity::warning) {
            m_reading.warnings.push_back(message_at(place_of(m_root, key), "warning", key, finding.message));
        } else if (finding.other_key.empty()) {
            fail_at(key, finding.message);
        } else {
            fail_at(key, finding.message, joined(path, finding.other_key));
        }
    }
}

} // namespace valve::setup
