#include <valve/report/field.hpp>

#include <cmath>
#include <stdexcept>
#include <type_traits>

namespace valve::report {

namespace {

std::string trimmed(std::string text) {
    if (text.find('.') == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

Json unit_json(const TradeUnit& unit) {
    return {
        {"name", unit.name}, {"per_SI", unit.per_SI}, {"offset", unit.offset}, {"decimals", unit.decimals}};
}

} // namespace

Json to_json(const Value& value) {
    return std::visit(
        [](const auto& held) {
            if constexpr (std::is_same_v<std::decay_t<decltype(held)>, std::monostate>)
                return Json(nullptr);
            else
                return Json(held);
        },
        value);
}

Table::Column column(const FieldWords& field) {
    return {std::string(field.heading), std::string(units_of(field.measure).metric.name),
            field.measure == Magnitude::words};
}

std::string cell(const FieldWords& field, const Value& value) {
    const TradeUnit& unit = units_of(field.measure).metric;
    if (const auto* number = std::get_if<double>(&value)) {
        const std::string text = fixed(*number * unit.per_SI + unit.offset, field.decimals);
        return field.trimmed ? trimmed(text) : text;
    }
    if (const auto* whole = std::get_if<std::int64_t>(&value)) return std::to_string(*whole);
    if (const auto* truth = std::get_if<bool>(&value)) return *truth ? "yes" : "no";
    const auto* text = std::get_if<std::string>(&value);
    return text != nullptr ? *text : "-";
}

Json described(const FieldWords& field) {
    Json object;
    object["words"] = field.words;
    object["heading"] = field.heading;
    object["measure"] = units_of(field.measure).name;
    object["unit"] = units_of(field.measure).metric.name;
    object["decimals"] = field.decimals;
    return object;
}

Json described_magnitudes() {
    Json list = Json::array();
    for (const MagnitudeUnits& one : magnitudes()) {
        if (one.measure == Magnitude::words) continue;
        Json object;
        object["measure"] = one.name;
        object["choice"] = one.choice.empty() ? Json(nullptr) : Json(one.choice);
        object["trimmed"] = one.trimmed;
        object["units"] = Json::array({unit_json(one.metric), unit_json(one.inch)});
        list.push_back(object);
    }
    return list;
}

} // namespace valve::report
