#include <plate/parts.hpp>
#include <stack/one_shim.hpp>
#include <stack/parts.hpp>
#include <valve/plate/detail/element.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace valve::validation {
namespace {

const Tolerance tight = relative(1e-6, "cubic elements, 40 of them, graded; formula in extended precision");
const Tolerance inside = relative(
    1e-6, "cubic elements, 40 of them, graded: moments between the edges; formula in extended precision");

/// The cases whose formulas were read; the others are from memory.
Kind formula_kind(std::string_view name) {
    constexpr std::array<std::string_view, 5> read{"2b", "2c", "2d", "2e", "2l"};
    return std::find(read.begin(), read.end(), name) != read.end() ? Kind::published : Kind::memory;
}

/// "2l", or "2l - 3l" where the pressure falls across a land.
std::string case_name(const OneShim& shim, const std::vector<LoadPart>& parts) {
    const bool falls = parts.size() > 1 && parts[1].load == RoarkLoad::rising;
    const std::string first = fmt::format("{}{}", static_cast<int>(parts.front().load), shim.letter);
    return falls ? fmt::format("{0} - 3{1}", first, shim.letter) : first;
}

std::string load_name(const std::vector<LoadPart>& parts, double full, double end) {
    const double from = parts.front().from;
    if (parts.front().load == RoarkLoad::ring) return fmt::format("ring at {:.4g}", from);
    if (end > full) return fmt::format("pressure {:.4g} to {:.4g}, none at {:.4g}", from, full, end);
    return fmt::format("pressure {:.4g} to {:.4g}", from, full);
}

/// Index of the node nearest half-way between the edges.
std::size_t half_way(const ShimCoefficients& k, double inner) {
    const auto nearer = [middle = 0.5 * (inner + 1.0)](double a, double b) {
        return std::abs(a - middle) < std::abs(b - middle);
    };
    return static_cast<std::size_t>(std::min_element(k.radius.begin(), k.radius.end(), nearer) -
                                    k.radius.begin());
}

/// Everything that the stack's solver tells of a shim, against the closed forms.
void against_formula(Recorder& recorder, const OneShim& shim, const ShimCoefficients& got, double full,
                     double end) {
    const std::string name = case_name(shim, got.load_parts);
    const std::string of = fmt::format("shim as case {}, b/a = {:.1f}, {}", name, shim.inner_ratio,
                                       load_name(got.load_parts, full, end));
    const auto add = [&](std::string_view what, double expected, double value, const Tolerance& tolerance) {
        if (expected == 0.0) return; // what an edge holds
        recorder.add({fmt::format("{}: {}", of, what),
                      {"young_budynas_2002", fmt::format("Table 11.2, case {}", name)},
                      formula_kind(name),
                      expected,
                      value,
                      tolerance,
                      ""});
    };
    const EdgeCoefficients at_b = expected_at(shim.inner_ratio, shim, got.load_parts);
    const EdgeCoefficients at_a = expected_at(1.0, shim, got.load_parts);
    const RoarkSupports& held = supports(shim.letter);
    const bool free_outside = held.outer == EdgeSupport::free;
    const bool on_hub = held.inner == EdgeSupport::simple || held.inner == EdgeSupport::fixed;
    // Deflections from the outer support where there is one: the stop gives way to none, but it is not at 0.
    if (!on_hub) add("K_yb", at_b.deflection, got.deflection.front(), tight);
    if (free_outside) add("K_ya", at_a.deflection, got.deflection.back(), tight);
    const std::size_t middle = half_way(got, shim.inner_ratio);
    add(fmt::format("K_y at {:.4f} a", got.radius[middle]),
        expected_at(got.radius[middle], shim, got.load_parts).deflection, got.deflection[middle], tight);
    if (on_hub) add("K_Qb", at_b.shear, got.inner_shear, tight);
    if (!free_outside) add("K_Qa", at_a.shear, got.outer_shear, tight);

    double largest = 0.0;
    for (const double radius : got.radius)
        largest = std::max(largest, mises(expected_at(radius, shim, got.load_parts)));
    add("largest von Mises stress of M_r and M_t", largest, got.stress, inside);
}

/// Loads of the cases that a shim meets most, k and l, at every b/a; of the others on a wide and a narrow
/// one.
void formulas(Recorder& recorder) {
    for (const char letter : {'a', 'b', 'c', 'd', 'k', 'l'})
        for (int tenth = 1; tenth <= 9; ++tenth) {
            const bool often = letter == 'k' || letter == 'l';
            if (!often && tenth != 2 && tenth != 9) continue;
            const double b = 0.1 * tenth;
            const OneShim shim{.inner_ratio = b, .letter = letter};
            const double half = 0.5 * (1.0 + b);
            const double end = often ? 1.0 : 0.5 * (1.0 + half); // the stop stands beyond the load
            against_formula(recorder, shim, under_ring(shim, half), half, half);
            if (often) against_formula(recorder, shim, under_ring(shim, 1.0), 1.0, 1.0);
            against_formula(recorder, shim, under_pressure(shim, b, end, end), end, end);
            against_formula(recorder, shim, under_pressure(shim, half, end, end), end, end);
            against_formula(recorder, shim, under_pressure(shim, b, half, end), half, end);
        }
}

enum class Entry { K_yb, K_ya, K_Qb, clamp_moment, free_hoop_moment };

/// A row of the table at b/a = 0.1, 0.3, 0.5, 0.7, 0.9; "" where it was not read.
struct Row {
    char letter;
    const char* name;
    Entry entry;
    Kind kind;
    std::array<const char*, 5> printed;
};

/// The row's coefficient of a shim under a pressure all over. A moment is that of the largest stress, which
/// stands at the inner edge: there M_t = ν M_r where the edge is level, and M_r = 0 where it is free to turn.
double value(const ShimCoefficients& k, Entry entry) {
    constexpr double nu = plate::Material{}.poisson_ratio;
    const auto at_edge = [&k](double moment) {
        if (k.stress_radius != k.radius.front())
            throw std::logic_error("the largest stress does not stand at the inner edge");
        return moment;
    };
    switch (entry) {
    case Entry::K_yb:
        return k.deflection.front();
    case Entry::K_ya:
        return k.deflection.back();
    case Entry::K_Qb:
        return k.inner_shear;
    case Entry::clamp_moment:
        return at_edge(k.stress / std::sqrt(1.0 - nu + nu * nu));
    case Entry::free_hoop_moment:
        return at_edge(k.stress);
    }
    throw std::logic_error("no such entry");
}

void printed_coefficients(Recorder& recorder) {
    constexpr Kind read = Kind::published;
    const std::vector<Row> rows{
        {'b', "K_yb", Entry::K_yb, read, {"-0.0575", "-0.0314", "-0.0103", "-0.0015", "-0.00002"}},
        {'b', "K_Mrb", Entry::clamp_moment, read, {"0.3003", "0.2185", "0.1223", "0.0456", "0.00505"}},
        {'c', "K_Qb", Entry::K_Qb, read, {"1.8870", "0.6015", "0.3230", "0.1684", ""}},
        {'d', "K_Mrb", Entry::clamp_moment, read, {"-0.2459", "-0.0939", "-0.0393", "-0.01257", ""}},
        {'d', "K_Qb", Entry::K_Qb, read, {"2.1375", "0.7533", "0.4096", "0.21259", ""}},
        {'l', "K_ya", Entry::K_ya, Kind::memory, {"-0.0757", "-0.0318", "-0.0086", "-0.0011", ""}},
        {'l',
         "K_Mrb",
         Entry::clamp_moment,
         Kind::memory,
         {"-0.9646", "-0.4103", "-0.1736", "-0.0541", "-0.00530"}},
    };
    for (const Row& row : rows)
        for (std::size_t i = 0; i < row.printed.size(); ++i) {
            const char* printed = row.printed[i];
            if (*printed == '\0') continue;
            const double b = 0.1 + 0.2 * static_cast<double>(i);
            // Ten times as large as a shim, so that 6 µm less than the whole plate is as good as all of it.
            const OneShim shim{.rim = 0.15, .thickness = 2e-3, .inner_ratio = b, .letter = row.letter};
            const double end = row.letter == 'l' ? 1.0 : 1.0 - 6e-6 / shim.rim;
            const double sign =
                *printed == '-' && row.entry != Entry::K_ya && row.entry != Entry::K_yb ? -1.0 : 1.0;
            recorder.add(
                {fmt::format("shim as case 2{} as printed, b/a = {:.1f}: {}", row.letter, b, row.name),
                 {"young_budynas_2002", "Table 11.2, pages 481 to 488"},
                 row.kind,
                 printed_value(printed),
                 sign * value(under_pressure(shim, b, end, end), row.entry),
                 absolute(0.5 * last_digit(printed), "half the last printed digit"),
                 ""});
        }
}

/// Case 3k, whose pressure rises from the inner edge: an even pressure less one that falls.
void rising_pressure(Recorder& recorder) {
    const std::array printed{"-0.0830", "-0.0826", "-0.0574", "-0.0258", "-0.0034"};
    for (std::size_t i = 0; i < printed.size(); ++i) {
        const double b = 0.1 + 0.2 * static_cast<double>(i);
        const OneShim shim{.rim = 0.15, .thickness = 2e-3, .inner_ratio = b, .letter = 'k'};
        const double even = under_pressure(shim, b, 1.0, 1.0).deflection.back();
        const double falling = under_pressure(shim, b, b + 6e-6 / shim.rim, 1.0).deflection.back();
        recorder.add({fmt::format("shim as case 3k as printed, b/a = {:.1f}: K_ya", b),
                      {"young_budynas_2002", "Table 11.2, pages 481 to 488"},
                      Kind::published,
                      printed_value(printed[i]),
                      even - falling,
                      absolute(0.5 * last_digit(printed[i]), "half the last printed digit"),
                      ""});
    }
}

/// Case 2d lifts most between its edges.
void largest_deflection(Recorder& recorder) {
    const std::array printed{"0.0040", "0.0014", "0.0004"};
    for (std::size_t i = 0; i < printed.size(); ++i) {
        const double b = 0.1 + 0.2 * static_cast<double>(i);
        const OneShim shim{.rim = 0.15, .thickness = 2e-3, .inner_ratio = b, .letter = 'd'};
        const double end = 1.0 - 6e-6 / shim.rim;
        const std::vector<double> y = under_pressure(shim, b, end, end).deflection;
        recorder.add({fmt::format("shim as case 2d as printed, b/a = {:.1f}: largest deflection", b),
                      {"young_budynas_2002", "Table 11.2, case 2d"},
                      Kind::published,
                      printed_value(printed[i]),
                      -*std::min_element(y.begin(), y.end()),
                      absolute(0.5 * last_digit(printed[i]), "half the last printed digit"),
                      ""});
    }
}

/// Shims in mm, N and bar: that no unit or factor hides in the coefficients.
void shims(Recorder& recorder) {
    struct Cut {
        double a, b, t;   // [mm]
        double force, at; // ring load [N] at a radius [mm], or
        double from;      // 1 bar from a radius [mm] to the rim
    };
    const plate::Material steel;
    const double nu = steel.poisson_ratio;
    for (const Cut& cut : std::vector<Cut>{{15, 6, 0.15, 10, 15, 0},
                                           {15, 6, 0.20, 10, 15, 0},
                                           {15, 6, 0.20, 0, 0, 8},
                                           {22, 8, 0.20, 50, 20, 0}}) {
        const double a = 1e-3 * cut.a;
        const double b = 1e-3 * cut.b;
        const double t = 1e-3 * cut.t;
        stack::Stack stack;
        stack.shims = {{a, t, {}}};
        stack.clamp_radius = stack.bore_radius = b;
        stack.zone = {cut.from > 0.0 ? 1e-3 * cut.from : b, a};
        stack.seat = {a, a, 0.0};
        const double D = plate::bending_stiffness(steel, t);
        EdgeCoefficients inner;
        EdgeCoefficients outer;
        double unit = 1e5 * a; // of w or q a
        double pressure = 1e5;
        std::vector<LoadPart> parts{{RoarkLoad::pressure, 1e-3 * cut.from / a, 1.0}};
        std::string load = fmt::format("1 bar from {} mm", cut.from);
        if (cut.force > 0.0) {
            stack.edge = stack::InnerEdge::guided;
            stack.seat.height = far_below;
            stack.floating = soft_float(cut.force, b, 1e-3 * cut.at, stack::RestsOn::hub);
            pressure = 0.0;
            unit = cut.force / (2.0 * std::numbers::pi * 1e-3 * cut.at);
            parts = {{RoarkLoad::ring, 1e-3 * cut.at / a, 1.0}};
            load = fmt::format("{} N at {} mm", cut.force, cut.at);
        }
        const OneShim shim{.rim = a, .thickness = t, .inner_ratio = b / a, .letter = 'l'};
        inner = expected_at(shim.inner_ratio, shim, parts);
        outer = expected_at(1.0, shim, parts);
        const stack::StackShape got = solved(stack, std::array{pressure}, stack::Theory::linear).front();
        const auto add = [&](const char* what, double expected, double value, const char* unit_name) {
            recorder.add(
                {fmt::format("shim {} x {}, clamp {} (radii, mm), {}: {}", cut.a, cut.t, cut.b, load, what),
                 {"young_budynas_2002", "Table 11.2, cases 1l and 2l"},
                 Kind::memory,
                 expected,
                 value,
                 tight,
                 unit_name});
        };
        add("deflection of the rim", std::abs(outer.deflection) * unit * a * a * a / D,
            std::abs(got.shims.front().lift.back()), "m");
        add("von Mises stress at the clamp",
            6.0 * std::abs(inner.moment) * unit * a / (t * t) * std::sqrt(1.0 - nu + nu * nu),
            got.state.peak.stress, "Pa");
    }
}

} // namespace

void roark_checks(Recorder& recorder) {
    formulas(recorder);
    printed_coefficients(recorder);
    rising_pressure(recorder);
    largest_deflection(recorder);
    shims(recorder);
}

} // namespace valve::validation
