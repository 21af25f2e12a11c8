#pragma once

#include <concepts>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <iosfwd>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <variant>
#include <vector>

namespace valve::setup {
struct Reading;
}

namespace valve::report {

/// A JSON value. Keys stay in the order they were written in, so that the same result gives the same bytes.
class Json {
public:
    struct Member;

    Json() noexcept;
    Json(std::nullptr_t) noexcept;
    Json(bool value);
    Json(double value);
    Json(std::int64_t value);
    template <std::integral Integer>
    requires(!std::same_as<Integer, bool> && !std::same_as<Integer, std::int64_t>) Json(Integer value)
        : Json(static_cast<std::int64_t>(value)) {}
    Json(std::string value);
    Json(std::string_view value);
    Json(const char* value);
    /// An object where every element is a pair that begins with a text: {{"key", 1}}; else an array.
    Json(std::initializer_list<Json> values);
    Json(std::vector<Json> values);
    template <class T>
    Json(const std::vector<T>& values) : Json(array()) {
        for (const T& value : values)
            push_back(Json(value));
    }
    Json(const Json&);
    Json(Json&&) noexcept;
    Json& operator=(Json other) noexcept;
    ~Json();

    static Json array(std::initializer_list<Json> values = {});
    static Json object();

    bool is_null() const;
    bool is_boolean() const;
    bool is_number() const;
    bool is_string() const;
    bool is_array() const;
    bool is_object() const;

    /// Elements or members; 0 of null, 1 of any other value.
    std::size_t size() const;
    bool empty() const { return size() == 0; }
    bool contains(std::string_view key) const;

    /// Throws std::out_of_range where it is not there, std::logic_error where this is no object or array.
    const Json& at(std::string_view key) const;
    Json& at(std::string_view key);
    const Json& at(std::size_t index) const;
    Json& at(std::size_t index);
    const Json& front() const { return at(std::size_t{0}); }
    const Json& back() const { return at(size() - 1); }

    /// Added where it is not there; null becomes an object. Throws std::logic_error where this is neither.
    Json& operator[](std::string_view key);

    /// Null becomes an array. Throws std::logic_error where this is neither.
    void push_back(Json value);

    /// Takes the members of another object over, in place of those of the same key.
    void update(const Json& other);

    /// The elements of an array; none of any other value.
    const Json* begin() const;
    const Json* end() const;
    Json* begin();
    Json* end();

    /// The members of an object. Throws std::logic_error of any other value.
    const std::vector<Member>& items() const;
    std::vector<Member>& items();

    /// The value as a text, a truth value or a number. Throws std::logic_error where it is none.
    template <class T>
    T get() const {
        if constexpr (std::is_same_v<T, std::string>)
            return text();
        else if constexpr (std::is_same_v<T, bool>)
            return truth();
        else
            return static_cast<T>(number());
    }

    /// As text, indented by `indent` columns; less than 0: on one line. Bytes that are not UTF-8 are
    /// replaced.
    std::string dump(int indent = -1) const;

    friend bool operator==(const Json& a, const Json& b);
    friend bool operator<(const Json& a, const Json& b) { return a.number() < b.number(); }
    friend bool operator>(const Json& a, const Json& b) { return b < a; }
    friend bool operator<=(const Json& a, const Json& b) { return a.number() <= b.number(); }
    friend bool operator>=(const Json& a, const Json& b) { return b <= a; }
    friend std::ostream& operator<<(std::ostream& out, const Json& value);

private:
    const std::string& text() const;
    bool truth() const;
    double number() const;

    using Array = std::vector<Json>;
    using Object = std::vector<Member>;
    std::variant<std::nullptr_t, bool, std::int64_t, double, std::string, Array, Object> m_value;
    friend struct Writer;
};

struct Json::Member {
    std::string key;
    Json value;
    friend bool operator==(const Member&, const Member&) = default;
};

/// The value, or null.
template <class T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json(nullptr);
}

/// Replaces every number of `object` that is not finite by null and says so under "error".
void refuse_non_finite(Json& object);

/// What was found of each valve of `file`: the keys of its one valve, or several under "valves".
Json by_valve(const std::string& file, const setup::Reading& reading, const std::vector<Json>& valves);

/// The text of a result: indented, with a newline at its end. Bytes that are not UTF-8 are replaced.
std::string written(const Json& object);

/// A table with the keys of the first point as its head and one row a point; null is an empty cell.
/// Throws std::invalid_argument where a later point has other keys.
std::string csv(const Json& points);

} // namespace valve::report
