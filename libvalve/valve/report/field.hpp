#pragma once

#include <valve/report/json.hpp>
#include <valve/report/magnitude.hpp>
#include <valve/report/text.hpp>

#include <cstdint>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace valve::report {

/// How a number of a result is called and read, wherever it is shown.
struct FieldWords {
    std::string_view key;     ///< in JSON and CSV, with its SI unit: "balance_margin_Pa"
    std::string_view words;   ///< "balance margin"
    std::string_view heading; ///< of a narrow column: "margin"
    Magnitude measure = Magnitude::words;
    int decimals = 0;     ///< in a table, in the metric unit of the measure
    bool trimmed = false; ///< without trailing zeros there
};

/// What a field holds; nothing where there is none.
using Value = std::variant<std::monostate, double, std::int64_t, bool, std::string>;

/// A field of a result of type Row.
template <class Row>
struct Field : FieldWords {
    Value (*value)(const Row&);
};

/// The fields of one type of result, in the order of its JSON; the only place where they are named.
template <class Row>
using Fields = std::span<const Field<Row>>;

inline Value value_of(double value) {
    return value;
}
inline Value value_of(int value) {
    return std::int64_t{value};
}
inline Value value_of(std::string_view value) {
    return std::string(value);
}
template <class T>
Value value_of(const std::optional<T>& value) {
    return value ? value_of(*value) : Value{};
}

Json to_json(const Value& value);

/// Puts the fields of `row` into `object`; what is not finite becomes null and is named under "error".
template <class Row>
void add_fields(Json& object, Fields<Row> fields, const Row& row) {
    for (const Field<Row>& field : fields)
        object[field.key] = to_json(field.value(row));
    refuse_non_finite(object);
}

/// Throws std::out_of_range for a key that is not among `fields`.
template <class Row>
const Field<Row>& field_of(Fields<Row> fields, std::string_view key) {
    for (const Field<Row>& field : fields)
        if (field.key == key) return field;
    throw std::out_of_range("no field " + std::string(key));
}

/// Name and metric unit, as head of a column.
Table::Column column(const FieldWords& field);

/// The value as a cell of that column; "-" where there is none.
std::string cell(const FieldWords& field, const Value& value);

template <class Row>
std::string cell(const Field<Row>& field, const Row& row) {
    return cell(field, field.value(row));
}

/// {words, heading, measure, unit, decimals} for those who read the JSON.
Json described(const FieldWords& field);

/// The same of every field, by key.
template <class Row>
Json described(Fields<Row> fields) {
    Json object = Json::object();
    for (const Field<Row>& field : fields)
        object[field.key] = described(static_cast<const FieldWords&>(field));
    return object;
}

/// [{measure, choice, units: [{name, per_SI, offset, decimals}, …]}] of every measure, metric first.
Json described_magnitudes();

} // namespace valve::report
