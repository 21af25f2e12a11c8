#include <valve/core/number.hpp>
#include <valve/report/packed.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace valve::report {

namespace {

constexpr std::size_t least_rows = 4;
constexpr std::size_t least_shared = 60; // bytes; a reference takes some 15

bool are_rows(const Json& list) {
    if (list.size() < least_rows) return false;
    const auto same_keys = [](const Json& a, const Json& b) {
        return std::equal(a.items().begin(), a.items().end(), b.items().begin(), b.items().end(),
                          [](const Json::Member& x, const Json::Member& y) { return x.key == y.key; });
    };
    return std::all_of(list.begin(), list.end(), [&](const Json& row) {
        return row.is_object() && !row.empty() && same_keys(row, list.front());
    });
}

Json short_number(const Json& value) {
    const double number = value.get<double>();
    if (std::floor(number) == number) return value; // counts, and what is given in whole units
    return parse_number(fmt::format("{:.10g}", number));
}

Json by_columns(const Json& value) {
    if (value.is_number()) return short_number(value);
    if (value.is_object()) {
        Json object = Json::object();
        for (const auto& [key, member] : value.items())
            object[key] = by_columns(member);
        return object;
    }
    if (!value.is_array()) return value;
    Json list = Json::array();
    if (!are_rows(value)) {
        for (const Json& each : value)
            list.push_back(by_columns(each));
        return list;
    }
    Json columns = Json::object();
    for (const auto& [key, first] : value.front().items()) {
        Json column = Json::array();
        for (const Json& row : value)
            column.push_back(row.at(key));
        const bool is_one = !first.is_array() && !first.is_object() &&
                            std::all_of(column.begin(), column.end(),
                                        [&first = first](const Json& each) { return each == first; });
        columns[key] = is_one ? by_columns(first) : by_columns(column);
    }
    return {{"~rows", static_cast<int>(value.size())}, {"~columns", std::move(columns)}};
}

/// What occurs more than once, by its text.
class Sharing {
public:
    explicit Sharing(const Json& data) { count(data); }

    Json replaced(const Json& value) {
        if (!value.is_array() && !value.is_object()) return value;
        const std::string text = value.dump();
        const auto found = m_count.find(text);
        if (found == m_count.end() || found->second < 2) return opened(value);
        auto place = m_place.find(text);
        if (place == m_place.end()) {
            Json inside = opened(value); // which may share, too
            place = m_place.emplace(text, m_shared.size()).first;
            m_shared.push_back(std::move(inside));
        }
        return {{"~shared", place->second}};
    }

    Json shared() { return std::move(m_shared); }

private:
    void count(const Json& value) {
        if (!value.is_array() && !value.is_object()) return;
        std::string text = value.dump();
        if (text.size() < least_shared) return;
        // Within a second copy all is there twice anyhow.
        if (++m_count[std::move(text)] > 1) return;
        if (value.is_array())
            for (const Json& each : value)
                count(each);
        else
            for (const auto& [key, member] : value.items())
                count(member);
    }

    Json opened(const Json& value) {
        Json result = value.is_array() ? Json::array() : Json::object();
        if (value.is_array())
            for (const Json& each : value)
                result.push_back(replaced(each));
        else
            for (const auto& [key, member] : value.items())
                result[key] = replaced(member);
        return result;
    }

    std::map<std::string, std::size_t> m_count;
    std::map<std::string, std::size_t> m_place;
    Json m_shared = Json::array();
};

} // namespace

Json packed(const Json& data) {
    const Json columns = by_columns(data);
    Sharing sharing(columns);
    Json page = sharing.replaced(columns);
    return {{"~shared", sharing.shared()}, {"~page", std::move(page)}};
}

} // namespace valve::report
