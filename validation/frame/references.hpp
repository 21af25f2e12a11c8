#pragma once

#include <functional>
#include <set>
#include <string>
#include <string_view>

namespace valve::validation {

/// Keys of the works in a BibTeX file.
class References {
public:
    /// Throws std::invalid_argument for a key that stands twice.
    explicit References(std::string_view bibtex);

    /// Reads `path`; throws std::runtime_error when it cannot be read.
    static References load(const std::string& path);

    bool contains(std::string_view key) const { return m_keys.contains(key); }
    const std::set<std::string, std::less<>>& keys() const { return m_keys; }

private:
    std::set<std::string, std::less<>> m_keys;
};

} // namespace valve::validation
