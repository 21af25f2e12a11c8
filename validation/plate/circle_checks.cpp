#include <frame/numbers.hpp>
#include <plate/parts.hpp>
#include <plate/unit_plate.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <vector>

namespace valve::validation {
namespace {

// Letters of Roark's table with the inner edge guided.
constexpr char clamped = 'f';
constexpr char supported = 'b';

/// A circular plate under Qb = q a⁴/(E t⁴). The library's plates have a hole; here it is `hub` of the radius
/// and its edge is guided, as by a rigid hub that follows the plate.
PlateSolution circular(double hub, double Qb, char edge) {
    PlateProblem problem = unit_plate(hub, supports(edge));
    problem.theory = PlateTheory::von_karman;
    problem.grading = {.elements = 160, .inner_size = hub, .merge_distance = 1e-12};
    const double q = Qb * youngs_modulus * std::pow(thickness / rim, 4);
    problem.pressures.push_back({hub * rim, rim, q, q});
    return solve(problem);
}
constexpr double small_hub = 3e-4;

/// w_0/t.
double lift(const PlateSolution& s) {
    return s.deflection.front() / thickness;
}

/// Stresses times a²/(E t²).
double bending(double moment) {
    return std::abs(6.0 * moment) * rim * rim / (youngs_modulus * std::pow(thickness, 4));
}
double membrane(double force) {
    return force * rim * rim / (youngs_modulus * std::pow(thickness, 3));
}

void clamped_circle(Recorder& recorder) {
    for (const int Qb : {1, 2, 3, 6, 10, 15, 20, 30}) {
        const PlateSolution s = circular(small_hub, Qb, clamped);
        const auto add = [&](const char* what, const char* quantity, double got, const Tolerance& tolerance) {
            recorder.add({fmt::format("clamped circle, Qb = {}: {}", Qb, what),
                          {"", "von Kármán's equations as a boundary value problem, references/plates.py"},
                          Kind::computed_reference,
                          numbers("plates").at(fmt::format("clamped circle, Qb {}", Qb), quantity),
                          got,
                          tolerance,
                          ""});
        };
        const Tolerance lift_elements = relative(2e-6, "160 cubic elements; eight digits in the reference");
        const Tolerance stress_elements = relative(
            4e-6, "160 cubic elements: moments and forces at an edge; eight digits in the reference");
        const plate::Resultants& hub = s.resultants.front();
        const plate::Resultants& edge = s.resultants.back();
        add("w_0/t", "lift", lift(s), lift_elements);
        add("bending stress at the edge", "edge bending", bending(edge.M_r), stress_elements);
        add("membrane stress at the edge", "edge membrane", membrane(edge.N_r), stress_elements);
        add("radial bending stress at the hub", "hub bending", bending(hub.M_r), stress_elements);
        add("radial membrane stress at the hub", "hub membrane", membrane(hub.N_r), stress_elements);
    }
}

/// What a hub takes off the lift must vanish: in linear theory as 4 (b/a)² ln(a/b) of it, and much the same
/// where the plate stretches.
void vanishing_hub(Recorder& recorder) {
    const auto order = [](const auto& deflection) {
        return std::log2((deflection(0.04) - deflection(0.02)) / (deflection(0.02) - deflection(0.01)));
    };
    const double linear = order([](double hub) {
        const long double b = static_cast<long double>(hub);
        return roark(RoarkLoad::pressure, supports('f'), b, b, 0.3L).inner.deflection;
    });
    const double stretched = order([](double hub) { return lift(circular(hub, 10.0, clamped)); });
    recorder.add({"clamped circle, Qb = 10, hubs of 0.04, 0.02, 0.01 a: order in which their effect goes",
                  {"young_budynas_2002", "Table 11.2, case 2f, for the same three hubs"},
                  Kind::computed_reference,
                  linear,
                  stretched,
                  absolute(0.05, "the hub bends the plate alike in both theories, the plate answers alike "
                                 "only in shape"),
                  ""});
    recorder.add({"clamped circle, Qb = 0.0001: w_0/t",
                  {"timoshenko_woinowsky_krieger_1959", "section 16: w_0 = q a⁴/64 D of the whole circle"},
                  Kind::memory,
                  3.0 / 16.0 * (1.0 - poisson_ratio * poisson_ratio) * 1e-4,
                  lift(circular(small_hub, 1e-4, clamped)),
                  relative(4e-6, "4 (b/a)² ln(a/b) = 2.9e-6 is left to the hub"),
                  ""});
}

/// How the load begins to rise faster than the lift.
void series(Recorder& recorder) {
    constexpr double slight = 1e-4; // where the plate is linear
    constexpr double Qb = 0.25;
    const double W = lift(circular(small_hub, Qb, clamped));
    const double linear = Qb / slight * lift(circular(small_hub, slight, clamped));
    recorder.add({"clamped circle: coefficient of W³ in the load, at W = 0.04",
                  {"chien_1947", "second approximation: 3/16 (1 - ν²) Qb = W + (1 + ν)(173 - 73 ν)/360 W³"},
                  Kind::memory,
                  (1.0 + poisson_ratio) * (173.0 - 73.0 * poisson_ratio) / 360.0,
                  (linear - W) / (W * W * W),
                  relative(2e-3, "the next term of the series is W² = 2e-3 smaller"),
                  ""});
}

/// Formulas of few terms, each where it is good.
void formulas_for_circles(Recorder& recorder) {
    constexpr double held = 1.0 - poisson_ratio * poisson_ratio;
    for (const double Qb : {1.0, 2.0}) {
        const PlateSolution s = circular(small_hub, Qb, clamped);
        const double y = lift(s);
        recorder.add({fmt::format("clamped circle: Qb = {} from its lift", Qb),
                      {"young_budynas_2002", "section 11.11, fixed and held: 5.33 y + 2.6 y³, over 1 - ν²"},
                      Kind::memory,
                      (5.33 * y + 2.6 * y * y * y) / held,
                      Qb,
                      relative(1e-2, "two-term formula: low by 0.2 % at Qb = 1, by 3 % at 6"),
                      ""});
        recorder.add(
            {fmt::format("clamped circle, Qb = {}: w_0/t by energy", Qb),
             {"timoshenko_woinowsky_krieger_1959", "section 97: w_0 (1 + 0.488 w_0²/t²) = q a⁴/64 D"},
             Kind::memory,
             3.0 / 16.0 * held * Qb / (1.0 + 0.488 * y * y),
             y,
             relative(1e-2, "one-term energy solution"),
             ""});
        // A rigid hub doubles the curvature at its edge one way and takes it away the other: the sum of
        // radial and hoop stress is there what it would be in the middle of the whole plate.
        const plate::Resultants& hub = s.resultants.front();
        recorder.add({fmt::format("clamped circle, Qb = {}: stress in the middle", Qb),
                      {"young_budynas_2002", "section 11.11, fixed and held: 2/(1 - ν) y + 0.976 y²"},
                      Kind::memory,
                      2.0 / (1.0 - poisson_ratio) * y + 0.976 * y * y,
                      bending(0.5 * (hub.M_r + hub.M_t)) + membrane(0.5 * (hub.N_r + hub.N_t)),
                      relative(2e-2, "two-term formula: high by 0.5 % at Qb = 1, by 1.6 % at 2"),
                      ""});
    }
    for (const double Qb : {0.5, 1.0, 2.0}) {
        const double y = lift(circular(small_hub, Qb, supported));
        recorder.add({fmt::format("supported circle, free in plane: Qb = {} from its lift", Qb),
                      {"young_budynas_2002", "section 11.11, simply supported and not held"},
                      Kind::memory,
                      1.016 / (1.0 - poisson_ratio) * y + 0.376 * y * y * y,
                      Qb,
                      relative(2e-2, "K1 = 1.016 is 1 % above the exact 16/(3 (5 + ν)); K2 is fitted"),
                      ""});
    }
}

} // namespace

void circle_checks(Recorder& recorder) {
    clamped_circle(recorder);
    vanishing_hub(recorder);
    series(recorder);
    formulas_for_circles(recorder);
}

} // namespace valve::validation
