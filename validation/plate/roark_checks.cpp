#include <plate/parts.hpp>
#include <plate/unit_plate.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

namespace valve::validation {
namespace {

using plate::PlateProblem;
using plate::PlateSolution;

/// A coefficient by the name it has in the table.
struct Quantity {
    const char* name;
    EdgeCoefficients PlateCoefficients::*edge;
    double EdgeCoefficients::*value;

    double of(const PlateCoefficients& k) const { return k.*edge.*value; }
};

constexpr Quantity K_yb{"K_yb", &PlateCoefficients::inner, &EdgeCoefficients::deflection};
constexpr Quantity K_theta_b{"K_θb", &PlateCoefficients::inner, &EdgeCoefficients::slope};
constexpr Quantity K_Mrb{"K_Mrb", &PlateCoefficients::inner, &EdgeCoefficients::moment};
constexpr Quantity K_Mtb{"K_Mtb", &PlateCoefficients::inner, &EdgeCoefficients::hoop_moment};
constexpr Quantity K_Qb{"K_Qb", &PlateCoefficients::inner, &EdgeCoefficients::shear};
constexpr Quantity K_ya{"K_ya", &PlateCoefficients::outer, &EdgeCoefficients::deflection};
constexpr Quantity K_theta_a{"K_θa", &PlateCoefficients::outer, &EdgeCoefficients::slope};
constexpr Quantity K_Mra{"K_Mra", &PlateCoefficients::outer, &EdgeCoefficients::moment};
constexpr Quantity K_Qa{"K_Qa", &PlateCoefficients::outer, &EdgeCoefficients::shear};

/// What an edge does not hold at zero.
constexpr std::array unheld{K_yb, K_theta_b, K_Mrb, K_Qb, K_ya, K_theta_a, K_Mra, K_Qa};

PlateProblem loaded(RoarkLoad load, const RoarkSupports& supports, double b, double from) {
    PlateProblem problem = unit_plate(b, supports);
    put_on(problem, load, from, rim);
    return problem;
}

std::string case_name(RoarkLoad load, char letter) {
    return fmt::format("{}{}", static_cast<int>(load), letter);
}

Tolerance tight() {
    return relative(1e-6, "cubic elements, 40 of them, graded; formula in extended precision");
}

/// The cases whose formulas were read; the others are from memory.
Kind formula_kind(std::string_view name) {
    constexpr std::array<std::string_view, 5> read{"2b", "2c", "2d", "2e", "2l"};
    return std::find(read.begin(), read.end(), name) != read.end() ? Kind::published : Kind::memory;
}

void against_formula(Recorder& recorder, RoarkLoad load, const RoarkSupports& supports, double b,
                     double from) {
    const PlateCoefficients got = coefficients(plate::solve(loaded(load, supports, b, from)));
    const PlateCoefficients exact =
        roark(load, supports, static_cast<long double>(b), static_cast<long double>(from), 0.3L);
    const std::string name = case_name(load, supports.letter);
    for (const Quantity& quantity : unheld) {
        if (quantity.of(exact) == 0.0) continue;
        recorder.add({fmt::format("case {}, b/a = {:.1f}, r_o/a = {:.2f}: {}", name, b, from, quantity.name),
                      {"young_budynas_2002", fmt::format("Table 11.2, case {}", name)},
                      formula_kind(name),
                      quantity.of(exact),
                      quantity.of(got),
                      tight(),
                      ""});
    }
}

/// The cases that a shim meets at every b/a, with the load from the inner edge (ring: at the rim) and from
/// half-way between the edges; all others on a wide and a narrow plate.
void formulas(Recorder& recorder) {
    const auto shim = [](RoarkLoad load, char letter) {
        return load != RoarkLoad::rising &&
               (letter == 'k' || letter == 'l' || (letter == 'd' && load == RoarkLoad::pressure));
    };
    for (const RoarkLoad load : {RoarkLoad::ring, RoarkLoad::pressure, RoarkLoad::rising})
        for (const RoarkSupports& supports : roark_supports)
            for (int tenth = 1; tenth <= 9; ++tenth) {
                const double b = 0.1 * tenth;
                const bool every = shim(load, supports.letter);
                if (every) against_formula(recorder, load, supports, b, load == RoarkLoad::ring ? 1.0 : b);
                if (every || tenth == 2 || tenth == 9)
                    against_formula(recorder, load, supports, b, 0.5 * (1.0 + b));
            }
}

/// A row of the table at b/a = 0.1, 0.3, 0.5, 0.7, 0.9; "" where it was not read.
struct Row {
    RoarkLoad load;
    char letter;
    Quantity quantity;
    Kind kind;
    std::array<const char*, 5> printed;
    std::array<bool, 5> misprint = {};
};

const std::vector<Row>& printed_rows() {
    constexpr RoarkLoad q = RoarkLoad::pressure;
    constexpr RoarkLoad rising = RoarkLoad::rising;
    constexpr Kind read = Kind::published;
    constexpr std::array last{false, false, false, false, true};
    static const std::vector<Row> rows{
        {q, 'b', K_yb, read, {"-0.0575", "-0.0314", "-0.0103", "-0.0015", "-0.00002"}},
        {q, 'b', K_theta_a, read, {"0.0919", "0.0645", "0.0306", "0.0078", "0.00032"}},
        {q, 'b', K_Mrb, read, {"0.3003", "0.2185", "0.1223", "0.0456", "0.00505"}},
        {q, 'c', K_Mtb, read, {"-0.2401", "-0.0463", "-0.0101", "-0.0015", ""}},
        {q, 'c', K_Qb, read, {"1.8870", "0.6015", "0.3230", "0.1684", ""}},
        {q, 'd', K_theta_a, read, {"0.0147", "0.0070", "0.0026", "0.00056", ""}},
        {q, 'd', K_Mrb, read, {"-0.2459", "-0.0939", "-0.0393", "-0.01257", ""}},
        {q, 'd', K_Qb, read, {"2.1375", "0.7533", "0.4096", "0.21259", ""}},
        {q, 'e', K_yb, read, {"-0.0166", "-0.0132", "-0.0053", "-0.0009", "-0.00001"}},
        {q, 'e', K_Mra, read, {"-0.1246", "-0.1135", "-0.0800", "-0.0361", "-0.00470"}},
        {rising, 'h', K_Qb, read, {"0.5440", "0.1865", "0.0999", "0.0514", "0.01575"}, last},
        {rising, 'h', K_Mrb, read, {"", "", "", "", "-0.00035"}, last},
        {rising, 'h', K_Mra, read, {"", "", "", "", "-0.00048"}, last},
        {rising,
         'j',
         K_Mrb,
         read,
         {"-0.5388", "-0.1990", "-0.0774", "-0.0231", "-0.00221"},
         {false, false, false, true, false}},
        {rising, 'k', K_ya, read, {"-0.0830", "-0.0826", "-0.0574", "-0.0258", "-0.0034"}},
        {q, 'l', K_ya, Kind::memory, {"-0.0757", "-0.0318", "-0.0086", "-0.0011", ""}},
        {q, 'l', K_Mrb, Kind::memory, {"-0.9646", "-0.4103", "-0.1736", "-0.0541", "-0.00530"}},
    };
    return rows;
}

void printed_coefficients(Recorder& recorder) {
    for (const Row& row : printed_rows())
        for (std::size_t i = 0; i < row.printed.size(); ++i) {
            const char* printed = row.printed[i];
            if (*printed == '\0') continue;
            const double b = 0.1 + 0.2 * static_cast<double>(i);
            const RoarkSupports& held = supports(row.letter);
            const double got = row.quantity.of(coefficients(plate::solve(loaded(row.load, held, b, b))));
            const std::string name = fmt::format("case {} as printed, b/a = {:.1f}: {}",
                                                 case_name(row.load, row.letter), b, row.quantity.name);
            if (row.misprint[i]) {
                const long double exact_b = static_cast<long double>(b);
                recorder.add({fmt::format("{} ({} is a misprint)", name, printed),
                              {"young_budynas_2002", "Table 11.2, its closed form in place of the misprint"},
                              Kind::computed_reference,
                              row.quantity.of(roark(row.load, held, exact_b, exact_b, 0.3L)),
                              got,
                              tight(),
                              ""});
                continue;
            }
            recorder.add({name,
                          {"young_budynas_2002", "Table 11.2, pages 481 to 488"},
                          row.kind,
                          printed_value(printed),
                          got,
                          absolute(0.5 * last_digit(printed), "half the last printed digit"),
                          ""});
        }
}

/// Case 2d lifts most between its edges: a mesh fine enough to have a node near the top.
void largest_deflection(Recorder& recorder) {
    struct Peak {
        double b;
        const char* printed;
        double computed;
        bool misprint = false;
    };
    for (const Peak& peak : std::vector<Peak>{{0.1, "0.0040", 0.0040252},
                                              {0.3, "0.0014", 0.0014213},
                                              {0.5, "0.0004", 0.00035784},
                                              {0.7, "0.00004", 0.00004519, true}}) {
        PlateProblem problem = loaded(RoarkLoad::pressure, supports('d'), peak.b, peak.b);
        problem.grading.elements = 400;
        const PlateSolution s = plate::solve(problem);
        const double got = *std::max_element(s.deflection.begin(), s.deflection.end()) / rim;
        const std::string name = fmt::format("case 2d, b/a = {:.1f}: largest deflection", peak.b);
        if (!peak.misprint)
            recorder.add({name + " as printed",
                          {"young_budynas_2002", "Table 11.2, case 2d"},
                          Kind::published,
                          printed_value(peak.printed),
                          got,
                          absolute(0.5 * last_digit(peak.printed), "half the last printed digit"),
                          ""});
        recorder.add({peak.misprint ? fmt::format("{} ({} is misprinted)", name, peak.printed) : name,
                      {"young_budynas_2002", "Table 11.2, general expression of case 2 searched for its top"},
                      Kind::computed_reference,
                      peak.computed,
                      got,
                      relative(1.5e-4, "four or five digits in the reference"),
                      ""});
    }
}

/// Shims in mm, N and bar: that no unit or factor hides in the coefficients.
void shims(Recorder& recorder) {
    struct Shim {
        double a, b, t;             // [mm]
        double force, at;           // ring load [N] at a radius [mm], or
        double from;                // 1 bar from a radius [mm] to the rim
        double lift, slope, stress; // [mm], [-], [MPa]
        double lift_digit, stress_digit;
    };
    const std::vector<Shim> shims{
        {15, 6, 0.15, 10, 15, 0, 0.49528, 0.072602, 446.41, 5e-6, 5e-3},
        {15, 6, 0.20, 10, 15, 0, 0.208945, 0.030629, 251.11, 5e-7, 5e-3},
        {15, 6, 0.20, 0, 0, 8, 0.58562, 0.076228, 884.93, 5e-6, 5e-3},
        {22, 8, 0.20, 50, 20, 0, 2.17627, 0.188220, 1229.31, 5e-6, 5e-3},
    };
    for (const Shim& shim : shims) {
        PlateProblem problem;
        problem.inner_radius = 1e-3 * shim.b;
        problem.outer_radius = 1e-3 * shim.a;
        problem.thickness = 1e-3 * shim.t;
        if (shim.from > 0.0)
            problem.pressures.push_back({1e-3 * shim.from, problem.outer_radius, 1e5, 1e5});
        else
            problem.rings.push_back({1e-3 * shim.at, shim.force});
        const PlateSolution s = plate::solve(problem);
        const std::string load = shim.from > 0.0 ? fmt::format("1 bar from {} mm", shim.from)
                                                 : fmt::format("{} N at {} mm", shim.force, shim.at);
        const auto add = [&](const char* what, double expected, double digit, double got, const char* unit) {
            recorder.add({fmt::format("shim {} x {}, clamp {} (radii, mm), {}: {}", shim.a, shim.t, shim.b,
                                      load, what),
                          {"young_budynas_2002", "Table 11.2, cases 1l and 2l worked out for these shims"},
                          Kind::computed_reference,
                          expected,
                          got,
                          absolute(1.02 * digit, "half the last digit of the reference"),
                          unit});
        };
        add("lift", 1e-3 * shim.lift, 1e-3 * shim.lift_digit, s.deflection.back(), "m");
        add("rim slope", shim.slope, 5e-7, s.slope.back(), "");
        add("stress at the clamp", 1e6 * shim.stress, 1e6 * shim.stress_digit,
            6.0 * std::abs(s.resultants.front().M_r) / (problem.thickness * problem.thickness), "Pa");
    }
}

} // namespace

void roark_checks(Recorder& recorder) {
    formulas(recorder);
    printed_coefficients(recorder);
    largest_deflection(recorder);
    shims(recorder);
}

} // namespace valve::validation
