#pragma once

#include <solid/mesh.hpp>

#include <fmt/format.h>

#include <iterator>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation::solid {

// What decks are written with; mm, N and MPa.

constexpr double mm = 1e-3;             // [m]
constexpr double MPa = 1e6;             // [Pa]
constexpr double MPa_per_mm = MPa / mm; // [Pa/m]

/// Steps for each load: one applies it, one holds it. ccx lays its springs of contact at the beginning of an
/// increment, so that only the second has them where the shims have come to lie.
inline constexpr int steps_per_load = 2;

/// Two surfaces that may touch, by the names they have in the deck.
struct ContactPair {
    std::pair<int, int> shims; ///< lower, upper; 0: the seat
    std::string slave;
    std::string master;
};

/// A deck, line by line.
class Writer {
public:
    template <typename... Arguments>
    void line(fmt::format_string<Arguments...> format, Arguments&&... arguments) {
        fmt::format_to(std::back_inserter(m_text), format, std::forward<Arguments>(arguments)...);
        m_text += '\n';
    }
    const std::string& text() const { return m_text; }

private:
    std::string m_text;
};

void write_set(Writer& out, const char* kind, const std::string& name, const std::vector<int>& members);

/// Of all elements.
void write_material(Writer& out, const plate::Material& material);

void write_contacts(Writer& out, const std::vector<ContactPair>& pairs, const Fineness& fineness);

/// The steps_per_load steps of one load: what it adds to the boundary or the forces.
void write_load(Writer& out, const std::vector<ContactPair>& pairs, int increments, const std::string& load);

} // namespace valve::validation::solid
