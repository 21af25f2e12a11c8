#include <valve/setup/detail/node.hpp>
#include <valve/setup/keys.hpp>

namespace valve::setup {

Key quantity(std::string name, double& target, std::string_view unit, Range range, std::string doc) {
    const auto set = [&target](double value) { target = value; };
    return {std::move(name), std::move(doc), Quantity{unit, range, set, target}, false, {}, {}};
}

Key diameter(std::string name, double& radius, Range range, std::string doc) {
    const auto set = [&radius](double value) { radius = 0.5 * value; };
    return {std::move(name), std::move(doc), Quantity{"mm", range, set, 2.0 * radius}, false, {}, {}};
}

Key gauge_pressure(std::string name, double& absolute, Range range, std::string doc) {
    const auto set = [&absolute](double value) { absolute = p_atm + value; };
    return {std::move(name), std::move(doc), Quantity{"bar", range, set, absolute - p_atm}, false, {}, {}};
}

Key count(std::string name, int& target, int low, int high, std::string doc) {
    const auto set = [&target](int value) { target = value; };
    return {std::move(name), std::move(doc), Count{low, high, set, target}, false, {}, {}};
}

Key quantity(std::string name, std::optional<double>& target, std::string_view unit, Range range,
             std::string doc, std::string otherwise) {
    const auto set = [&target](double value) { target = value; };
    return {std::move(name), std::move(doc), Quantity{unit, range, set, {}}, false, std::move(otherwise), {}};
}

Key diameter(std::string name, std::optional<double>& radius, Range range, std::string doc,
             std::string otherwise) {
    const auto set = [&radius](double value) { radius = 0.5 * value; };
    return {std::move(name), std::move(doc), Quantity{"mm", range, set, {}}, false, std::move(otherwise), {}};
}

Key text(std::string name, std::string& target, std::string doc) {
    return {std::move(name), std::move(doc), Text{&target}, false, {}, {}};
}

Key format_key() {
    const auto done = [](const Node&, const std::string&, Reader&) {};
    return required(form("format", "1", done, "version of the file's format: 1"));
}

Key form(std::string name, std::string_view type,
         std::function<void(const Node&, const std::string&, Reader&)> read, std::string doc,
         std::function<Keys()> keys) {
    return {std::move(name), std::move(doc), Form{type, std::move(read), std::move(keys)}, false, {}, {}};
}

Key usual(double low, double high, std::string_view question, Key key) {
    std::get<Quantity>(key.value).usual = Usual{low, high, question};
    return key;
}

Key required(Key key) {
    key.is_required = true;
    return key;
}

Key without_default(Key key) {
    if (auto* quantity = std::get_if<Quantity>(&key.value)) quantity->fallback.reset();
    if (auto* map = std::get_if<Map>(&key.value)) map->has_defaults = false;
    return key;
}

Key only_for(std::vector<std::string> kinds, Key key) {
    key.kinds = std::move(kinds);
    return key;
}

} // namespace valve::setup
