#include <frame/numbers.hpp>
#include <plate/parts.hpp>
#include <stack/one_shim.hpp>
#include <stack/parts.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>

namespace valve::validation {
namespace {

constexpr double rim = 15e-3;      // a [m]
constexpr double thickness = 2e-4; // [m]

stack::Stack shim(double ratio) {
    stack::Stack stack;
    stack.shims = {{rim, thickness, {}}};
    stack.clamp_radius = stack.bore_radius = ratio * rim;
    stack.zone = {ratio * rim, rim};
    stack.seat = {rim, rim, 0.0};
    return stack;
}

/// λ² of a clamped shim that has left its seat: ω = λ²/a² √(D/(ρ t)).
stack::Modes clamped(double ratio) {
    return stack::Solution(shim(ratio), {.theory = stack::Theory::linear}).modes();
}

/// A floated shim that its spring holds on the hub while a little pressure keeps it off its seat.
stack::Modes supported(double ratio) {
    stack::Stack stack = shim(ratio);
    stack.edge = stack::InnerEdge::free;
    stack.floating = soft_float(1000.0, ratio * rim, ratio * rim, stack::RestsOn::hub);
    constexpr double little = 100.0; // [Pa]
    const stack::Solution solution(stack, {.theory = stack::Theory::linear, .max_pressure = little});
    stack::Modes modes = solution.modes({.pressure = little, .families = 1});
    if (!modes.on_hub || modes.on_seat) throw std::runtime_error("the shim does not stand on its hub alone");
    return modes;
}

double square(const stack::Modes& modes, int diameters, int family) {
    const double unit = std::sqrt(plate::bending_stiffness(plate::Material{}, thickness) /
                                  (plate::Material{}.density * thickness)) /
                        (rim * rim);
    for (const stack::Mode& mode : modes.modes)
        if (mode.nodal_diameters == diameters && mode.family == family)
            return 2.0 * std::numbers::pi * mode.frequency_air.value() / unit;
    throw std::runtime_error("no such mode");
}

void computed(Recorder& recorder, const char* edge, double ratio, const stack::Modes& modes, int families) {
    const std::array tolerances{
        relative(1e-6, "40 cubic elements, whose error goes as size⁴"),
        relative(2e-6, "40 cubic elements, whose error goes as size⁴ and grows with the family"),
        relative(1e-5, "40 cubic elements, whose error goes as size⁴ and grows with the family")};
    for (int n = 0; n <= 3; ++n)
        for (int family = 0; family < families; ++family)
            recorder.add(
                {fmt::format("shim, {} inside, free outside, b/a = {}: λ², {} nodal diameters, family {}",
                             edge, ratio, n, family),
                 {"leissa_1969", "its frequency determinant in Bessel functions, references/modes.py"},
                 Kind::computed_reference,
                 numbers("modes").at(fmt::format("{}, b/a {}", edge, ratio),
                                     fmt::format("{} diameters, family {}", n, family)),
                 square(modes, n, family),
                 tolerances[static_cast<std::size_t>(family)],
                 ""});
}

/// Printed λ² of the lowest family for n = 0 … 3; "" where the entry is further from the exact root than its
/// last digit.
struct PrintedRow {
    double ratio;
    std::array<const char*, 4> first;
};

void printed(Recorder& recorder, const PrintedRow& row, const stack::Modes& modes) {
    for (int n = 0; n <= 3; ++n) {
        const char* entry = row.first[static_cast<std::size_t>(n)];
        if (*entry == '\0') continue;
        recorder.add(
            {fmt::format("shim as a plate of the tables, clamped inside, b/a = {}: λ², {} nodal diameters",
                         row.ratio, n),
             {"vogel_skinner_1965",
              "its table, repeated in leissa_1969; left out, for they contradict the exact roots or are "
              "misremembered: n = 1 at b/a = 0.1 (3.14), 0.3 (6.33), 0.9 (347), n = 2, 3 at 0.9 (352, 361)"},
             Kind::memory,
             printed_value(entry),
             square(modes, n, 0),
             absolute(last_digit(entry), "the last printed digit, not always rounded"),
             ""});
    }
}

} // namespace

void mode_checks(Recorder& recorder) {
    constexpr std::array table{
        PrintedRow{0.1, {"4.23", "", "5.62", "12.4"}}, PrintedRow{0.3, {"6.66", "", "7.96", "13.3"}},
        PrintedRow{0.5, {"13.0", "13.3", "14.7", "18.5"}}, PrintedRow{0.7, {"37.0", "37.5", "39.3", "42.6"}},
        PrintedRow{0.9, {"345", "", "", ""}}};
    for (int tenth = 1; tenth <= 9; ++tenth) {
        const double ratio = 0.1 * tenth;
        const stack::Modes modes = clamped(ratio);
        computed(recorder, "clamped", std::round(10.0 * ratio) / 10.0, modes, 3);
        for (const PrintedRow& row : table)
            if (std::abs(row.ratio - ratio) < 0.01) printed(recorder, row, modes);
    }
    for (const double ratio : {0.1, 0.3, 0.5, 0.7})
        computed(recorder, "supported", ratio, supported(ratio), 1);
}

} // namespace valve::validation
