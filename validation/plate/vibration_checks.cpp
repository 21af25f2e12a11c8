#include <plate/parts.hpp>
#include <plate/unit_plate.hpp>
#include <valve/plate/detail/shape.hpp>
#include <valve/plate/detail/vibration.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <functional>
#include <numbers>

namespace valve::validation {
namespace {

using plate::EdgeSupport;
using plate::Surround;

/// λ² of a plate: ω = λ²/a² √(D/(ρ t)).
std::vector<double> coefficients(const plate::PlateProblem& problem, int n) {
    const double unit =
        stiffness() / (plate::Material{}.density * thickness * std::pow(problem.outer_radius, 4));
    std::vector<double> found;
    for (const double square : plate::lowest_squares(plate::vibration_of(problem, nullptr, n), 3))
        found.push_back(std::sqrt(square / unit));
    return found;
}

plate::PlateProblem annulus(double inner_ratio, EdgeSupport inner) {
    plate::PlateProblem problem;
    problem.inner_radius = inner_ratio * rim;
    problem.outer_radius = rim;
    problem.thickness = thickness;
    problem.inner = inner;
    return problem;
}

/// λ² of one family for n = 0 … 3.
struct Row {
    double inner_ratio;
    std::array<double, 4> squares;
};

void computed_checks(Recorder& recorder) {
    const std::string elements = "40 cubic elements, whose error goes as size⁴ and grows with the family";
    const std::string digit = "the last digit given";
    const auto record = [&](const char* edge, double b, int n, int family, double expected, double got,
                            const Tolerance& tolerance) {
        recorder.add({fmt::format("annular plate, {} inside, free outside, b/a = {}: λ², {} nodal diameters, "
                                  "family {}",
                                  edge, b, n, family),
                      {"leissa_1969", "its frequency determinant in Bessel functions, solved in 30 digits"},
                      Kind::computed_reference,
                      expected,
                      got,
                      tolerance,
                      ""});
    };
    constexpr std::array clamped{
        Row{0.1, {4.2374, 3.4781, 5.6227, 12.4505}},    Row{0.2, {5.1811, 4.8130, 6.4471, 12.6147}},
        Row{0.3, {6.6604, 6.5523, 7.9565, 13.2757}},    Row{0.4, {9.0206, 9.1155, 10.4645, 14.9631}},
        Row{0.5, {13.0243, 13.2898, 14.7038, 18.5620}}, Row{0.6, {20.5218, 20.9360, 22.5013, 25.9800}},
        Row{0.7, {36.9526, 37.4983, 39.2769, 42.6545}}, Row{0.8, {84.4998, 85.1619, 87.1931, 90.7183}},
        Row{0.9, {344.402, 345.167, 347.466, 351.320}},
    };
    for (const Row& row : clamped)
        for (int n = 0; n <= 3; ++n) {
            const double expected = row.squares[static_cast<std::size_t>(n)];
            record("clamped", row.inner_ratio, n, 0, expected,
                   coefficients(annulus(row.inner_ratio, EdgeSupport::fixed), n).front(),
                   absolute(expected > 100.0 ? 1e-3 : 1e-4, digit));
        }
    constexpr std::array second{
        Row{0.1, {25.261829, 27.672805, 36.940895, 53.202600}},
        Row{0.3, {42.614212, 44.631146, 50.947272, 62.052789}},
        Row{0.5, {85.032825, 86.705831, 91.738155, 100.16746}},
        Row{0.7, {239.84201, 241.28071, 245.58680, 252.73220}},
        Row{0.9, {2188.8208, 2190.0956, 2193.9184, 2200.2842}},
    };
    constexpr std::array third{
        Row{0.1, {73.900643, 77.486777, 90.183495, 113.03689}},
        Row{0.3, {123.46611, 125.82341, 133.08481, 145.69137}},
        Row{0.5, {243.69404, 245.43582, 250.68249, 259.49153}},
        Row{0.7, {680.65136, 682.04855, 686.24091, 693.23066}},
        Row{0.9, {6155.5830, 6156.7635, 6160.3048, 6166.2064}},
    };
    for (std::size_t i = 0; i < second.size(); ++i)
        for (int n = 0; n <= 3; ++n) {
            const double b = second[i].inner_ratio;
            const std::vector<double> got = coefficients(annulus(b, EdgeSupport::fixed), n);
            record("clamped", b, n, 1, second[i].squares[static_cast<std::size_t>(n)], got[1],
                   relative(2e-6, elements));
            record("clamped", b, n, 2, third[i].squares[static_cast<std::size_t>(n)], got[2],
                   relative(1e-5, elements));
        }
    constexpr std::array supported{
        Row{0.1, {3.4497, 2.4377, 5.4277, 12.4408}},
        Row{0.3, {3.4223, 3.3738, 6.0804, 12.6114}},
        Row{0.5, {4.1210, 4.8616, 7.9861, 14.0348}},
        Row{0.7, {6.1867, 8.3506, 13.4267, 20.4536}},
    };
    for (const Row& row : supported)
        for (int n = 0; n <= 3; ++n)
            record("simply supported", row.inner_ratio, n, 0, row.squares[static_cast<std::size_t>(n)],
                   coefficients(annulus(row.inner_ratio, EdgeSupport::simple), n).front(),
                   absolute(1e-4, digit));
}

/// Printed λ², lowest family, and whether the entry is further from the exact root than its last digit.
struct Printed {
    const char* text;
    bool wrong = false;
};

void printed_checks(Recorder& recorder) {
    constexpr bool wrong = true;
    struct PrintedRow {
        double inner_ratio;
        std::array<Printed, 4> first;
    };
    constexpr std::array table{
        PrintedRow{0.1, {{{"4.23"}, {"3.14", wrong}, {"5.62"}, {"12.4"}}}},
        PrintedRow{0.3, {{{"6.66"}, {"6.33", wrong}, {"7.96"}, {"13.3"}}}},
        PrintedRow{0.5, {{{"13.0"}, {"13.3"}, {"14.7"}, {"18.5"}}}},
        PrintedRow{0.7, {{{"37.0"}, {"37.5"}, {"39.3"}, {"42.6"}}}},
        PrintedRow{0.9, {{{"345"}, {"347", wrong}, {"352", wrong}, {"361", wrong}}}},
    };
    for (const PrintedRow& row : table)
        for (int n = 0; n <= 3; ++n) {
            const Printed& entry = row.first[static_cast<std::size_t>(n)];
            if (entry.wrong) continue; // its exact root stands among the computed references
            recorder.add(
                {fmt::format("annular plate of the tables, clamped inside, b/a = {}: λ², {} nodal "
                             "diameters",
                             row.inner_ratio, n),
                 {"vogel_skinner_1965",
                  "its table, repeated in leissa_1969; left out, for they contradict the exact roots or are "
                  "misremembered: n = 1 at b/a = 0.1 (3.14), 0.3 (6.33), 0.9 (347), n = 2, 3 at 0.9 "
                  "(352, 361)"},
                 Kind::memory,
                 printed_value(entry.text),
                 coefficients(annulus(row.inner_ratio, EdgeSupport::fixed), n).front(),
                 absolute(last_digit(entry.text), "the last printed digit, not always rounded"),
                 ""});
        }
}

/// 2T/(ρ ẇ²) of the fluid round a disc of radius 1 that moves as w(r) cos nθ.
double moved(int n, Surround surround, const std::function<double(double)>& w) {
    const plate::AddedMass oil(1.0, n, surround);
    constexpr int pieces = 400;
    Eigen::VectorXd g = Eigen::VectorXd::Zero(oil.weights().size());
    for (int e = 0; e < pieces; ++e)
        for (std::size_t p = 0; p < plate::gauss8_at.size(); ++p) {
            const double r = (e + plate::gauss8_at[p]) / pieces;
            g += plate::gauss8_weight[p] / pieces * w(r) * r * oil.shapes(r);
        }
    return g.dot(oil.weights().cwiseProduct(g));
}

void added_mass_checks(Recorder& recorder) {
    const std::string why = "the root at the rim, integrated by Gauss' rule";
    recorder.add({"rigid disc broadside in unbounded fluid: added mass/(ρ a³)",
                  {"lamb_1932", "art. 102"},
                  Kind::memory,
                  8.0 / 3.0,
                  moved(0, Surround::open, [](double) { return 1.0; }),
                  relative(1e-6, why),
                  ""});
    recorder.add({"rigid disc turning about a diameter in unbounded fluid: added inertia/(ρ a⁵)",
                  {"lamb_1932", "art. 108"},
                  Kind::memory,
                  16.0 / 45.0,
                  moved(1, Surround::open, [](double r) { return r; }),
                  relative(1e-6, why),
                  ""});
    // Both sides move; β is that of one. The plate's own is ρ_p t ∫ w² dA = ρ_p t π/5.
    const double lamb = 0.5 * moved(0, Surround::baffled, [](double r) { return std::pow(1.0 - r * r, 2); }) /
                        (std::numbers::pi / 5.0);
    recorder.add({"clamped circular plate in a wall, Lamb's shape (1 − r²)²: β ρ_p t/(ρ a), one side wet",
                  {"lamb_1920", "β = 0.6689"},
                  Kind::memory,
                  0.6689,
                  lamb,
                  absolute(1e-4, "four digits given"),
                  ""});

    plate::PlateProblem plate_in_wall = annulus(1e-3, EdgeSupport::free);
    plate_in_wall.outer = EdgeSupport::fixed;
    const auto slowed = [&](double oil_density) { // (f0/f)²
        plate::Vibration vibration = plate::vibration_of(plate_in_wall, nullptr, 0);
        const double air = plate::lowest_squares(vibration, 1).front();
        vibration.surround = Surround::baffled;
        vibration.oil_density = oil_density;
        return air / plate::lowest_squares(vibration, 1).front();
    };
    const double light = 1e-2; // [kg/m³]: the shape stays that of a plate in air
    const double metal = plate::Material{}.density * thickness / rim;
    recorder.add({"clamped circular plate in a wall, its own shape: β ρ_p t/(ρ a), one side wet",
                  {"kwak_1991", "0.65381, its table for clamped plates"},
                  Kind::memory,
                  0.65381,
                  0.5 * (slowed(light) - 1.0) * metal / light,
                  absolute(1e-4, "β is the small difference of two frequencies; hole of a/1000"),
                  ""});
    const double beta = 0.6689 * 860.0 / metal;
    recorder.add({"clamped circular plate 30 x 0.2 mm in a wall, oil of 860 kg/m³ on both sides: f/f0",
                  {"lamb_1920", "1/√(1 + 2β)"},
                  Kind::memory,
                  1.0 / std::sqrt(1.0 + 2.0 * beta),
                  1.0 / std::sqrt(slowed(860.0)),
                  relative(0.01, "Lamb assumes one shape, which carries 2 % too much oil"),
                  ""});
}

} // namespace

void vibration_checks(Recorder& recorder) {
    computed_checks(recorder);
    printed_checks(recorder);
    added_mass_checks(recorder);
}

} // namespace valve::validation
