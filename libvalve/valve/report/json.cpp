#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <ostream>
#include <stdexcept>
#include <utility>

namespace valve::report {

/// Numbers are written by nlohmann/json: the shortest text that reads back as the same.
struct Writer {
    using Out = nlohmann::ordered_json;

    static Out out(const Json& value) { return std::visit(Writer{}, value.m_value); }

    Out operator()(const Json::Array& values) const {
        Out list = Out::array();
        for (const Json& value : values)
            list.push_back(out(value));
        return list;
    }
    Out operator()(const Json::Object& members) const {
        Out object = Out::object();
        for (const Json::Member& member : members)
            object[member.key] = out(member.value);
        return object;
    }
    template <class Scalar>
    Out operator()(const Scalar& value) const {
        return value;
    }
};

namespace {

bool is_pair(const Json& value) {
    return value.is_array() && value.size() == 2 && value.front().is_string();
}

/// Quoted where a reader of comma-separated text needs it (RFC 4180).
std::string cell(const Json& value) {
    if (value.is_null()) return "";
    std::string text = value.is_string() ? value.get<std::string>() : value.dump();
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + "\"";
}

template <class Members>
auto found(Members& members, std::string_view key) {
    return std::find_if(members.begin(), members.end(),
                        [key](const auto& member) { return member.key == key; });
}

} // namespace

Json::Json() noexcept = default;
Json::Json(std::nullptr_t) noexcept {}
Json::Json(bool value) : m_value(value) {}
Json::Json(double value) : m_value(value) {}
Json::Json(std::int64_t value) : m_value(value) {}
Json::Json(std::string value) : m_value(std::move(value)) {}
Json::Json(std::string_view value) : m_value(std::string(value)) {}
Json::Json(const char* value) : m_value(std::string(value)) {}
Json::Json(std::vector<Json> values) : m_value(std::move(values)) {}
Json::Json(const Json&) = default;
Json::Json(Json&&) noexcept = default;
Json::~Json() = default;

Json::Json(std::initializer_list<Json> values) {
    if (!std::all_of(values.begin(), values.end(), is_pair)) {
        m_value = Array(values);
        return;
    }
    m_value = Object{};
    for (const Json& pair : values)
        (*this)[pair.front().text()] = pair.back();
}

Json& Json::operator=(Json other) noexcept {
    m_value = std::move(other.m_value);
    return *this;
}

Json Json::array(std::initializer_list<Json> values) {
    return std::vector<Json>(values);
}

Json Json::object() {
    Json made;
    made.m_value = Object{};
    return made;
}

bool Json::is_null() const {
    return std::holds_alternative<std::nullptr_t>(m_value);
}
bool Json::is_boolean() const {
    return std::holds_alternative<bool>(m_value);
}
bool Json::is_number() const {
    return std::holds_alternative<std::int64_t>(m_value) || std::holds_alternative<double>(m_value);
}
bool Json::is_string() const {
    return std::holds_alternative<std::string>(m_value);
}
bool Json::is_array() const {
    return std::holds_alternative<Array>(m_value);
}
bool Json::is_object() const {
    return std::holds_alternative<Object>(m_value);
}

std::size_t Json::size() const {
    if (const auto* values = std::get_if<Array>(&m_value)) return values->size();
    if (const auto* members = std::get_if<Object>(&m_value)) return members->size();
    return is_null() ? 0 : 1;
}

bool Json::contains(std::string_view key) const {
    const auto* members = std::get_if<Object>(&m_value);
    return members != nullptr && found(*members, key) != members->end();
}

const Json& Json::at(std::string_view key) const {
    const auto& members = items();
    const auto member = found(members, key);
    if (member == members.end()) throw std::out_of_range("no key " + std::string(key));
    return member->value;
}
Json& Json::at(std::string_view key) {
    return const_cast<Json&>(std::as_const(*this).at(key));
}

const Json& Json::at(std::size_t index) const {
    const auto* values = std::get_if<Array>(&m_value);
    if (values == nullptr) throw std::logic_error("not an array: " + dump());
    return values->at(index);
}
Json& Json::at(std::size_t index) {
    return const_cast<Json&>(std::as_const(*this).at(index));
}

Json& Json::operator[](std::string_view key) {
    if (is_null()) m_value = Object{};
    auto& members = items();
    const auto member = found(members, key);
    return member != members.end() ? member->value
                                   : members.emplace_back(Member{std::string(key), nullptr}).value;
}

void Json::push_back(Json value) {
    if (is_null()) m_value = Array{};
    auto* values = std::get_if<Array>(&m_value);
    if (values == nullptr) throw std::logic_error("not an array: " + dump());
    values->push_back(std::move(value));
}

void Json::update(const Json& other) {
    for (const Member& member : other.items())
        (*this)[member.key] = member.value;
}

const Json* Json::begin() const {
    const auto* values = std::get_if<Array>(&m_value);
    return values != nullptr ? values->data() : nullptr;
}
const Json* Json::end() const {
    const auto* values = std::get_if<Array>(&m_value);
    return values != nullptr ? values->data() + values->size() : nullptr;
}
Json* Json::begin() {
    return const_cast<Json*>(std::as_const(*this).begin());
}
Json* Json::end() {
    return const_cast<Json*>(std::as_const(*this).end());
}

const std::vector<Json::Member>& Json::items() const {
    const auto* members = std::get_if<Object>(&m_value);
    if (members == nullptr) throw std::logic_error("not an object: " + dump());
    return *members;
}
std::vector<Json::Member>& Json::items() {
    return const_cast<std::vector<Member>&>(std::as_const(*this).items());
}

const std::string& Json::text() const {
    const auto* value = std::get_if<std::string>(&m_value);
    if (value == nullptr) throw std::logic_error("not a text: " + dump());
    return *value;
}

bool Json::truth() const {
    const auto* value = std::get_if<bool>(&m_value);
    if (value == nullptr) throw std::logic_error("neither true nor false: " + dump());
    return *value;
}

double Json::number() const {
    if (const auto* whole = std::get_if<std::int64_t>(&m_value)) return static_cast<double>(*whole);
    const auto* value = std::get_if<double>(&m_value);
    if (value == nullptr) throw std::logic_error("not a number: " + dump());
    return *value;
}

std::string Json::dump(int indent) const {
    return Writer::out(*this).dump(indent, ' ', false, Writer::Out::error_handler_t::replace);
}

bool operator==(const Json& a, const Json& b) {
    if (a.is_number() && b.is_number()) return a.number() == b.number();
    return a.m_value == b.m_value;
}

std::ostream& operator<<(std::ostream& out, const Json& value) {
    return out << value.dump();
}

void refuse_non_finite(Json& object) {
    std::string refused;
    for (auto& [key, value] : object.items()) {
        if (!value.is_number() || std::isfinite(value.get<double>())) continue;
        value = nullptr;
        refused += (refused.empty() ? "" : ", ") + key;
    }
    if (!refused.empty()) object["error"] = "no finite value for " + refused;
}

Json by_valve(const std::string& file, const setup::Reading& reading, const std::vector<Json>& valves) {
    Json object;
    object["title"] = reading.title;
    object["file"] = file;
    if (valves.size() == 1)
        object.update(valves.front());
    else
        object["valves"] = valves;
    object["warnings"] = reading.warnings;
    return object;
}

std::string written(const Json& object) {
    return object.dump(2) + "\n";
}

std::string csv(const Json& points) {
    std::string result;
    if (points.empty()) return result;
    const Json& first = points.front();
    for (const auto& [key, value] : first.items())
        result += (result.empty() ? "" : ",") + key;
    result += "\n";
    for (const Json& point : points) {
        if (point.size() != first.size()) throw std::invalid_argument("points with different keys");
        std::string row;
        for (const auto& [key, value] : first.items()) {
            if (!point.contains(key)) throw std::invalid_argument("points with different keys");
            row += cell(point.at(key)) + ",";
        }
        row.back() = '\n';
        result += row;
    }
    return result;
}

} // namespace valve::report
