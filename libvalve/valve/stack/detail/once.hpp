#pragma once

#include <valve/core/error.hpp>

#include <optional>
#include <string>

namespace valve::stack {

/// A value that is made when it is first asked for. Where that cannot be, the SolveError is remembered and
/// thrown again.
template <class Value>
class Once {
public:
    template <class Make>
    const Value& get(const Make& make) {
        if (m_failure) throw SolveError(*m_failure);
        if (m_value) return *m_value;
        try {
            m_value.emplace(make());
        } catch (const SolveError& error) {
            m_failure = error.what();
            throw;
        }
        return *m_value;
    }

    bool known() const { return m_value.has_value(); }

private:
    std::optional<Value> m_value;
    std::optional<std::string> m_failure;
};

} // namespace valve::stack
