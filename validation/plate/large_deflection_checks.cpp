#include <plate/parts.hpp>
#include <plate/unit_plate.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <vector>

namespace valve::validation {
namespace {

using plate::PlateProblem;
using plate::PlateSolution;
using plate::PlateTheory;

/// Shims under von Kármán's equations: clamped inside, free outside.
void annular(Recorder& recorder) {
    struct Row {
        double load; ///< q a⁴/(D t), or w a³/(D t)
        double ratio;
        double lift; ///< w_a/t
        double moment;
    };
    constexpr std::array pressed{
        Row{5, 0.2, 0.25343, -3.0279},   Row{10, 0.2, 0.48344, -5.8586},  Row{20, 0.2, 0.85234, -10.7428},
        Row{40, 0.2, 1.34943, -18.3871}, Row{80, 0.2, 1.95443, -29.9536}, Row{160, 0.2, 2.67595, -47.6448},
        Row{5, 0.3, 0.15809, -2.0423},   Row{10, 0.3, 0.31059, -4.0321},  Row{20, 0.3, 0.58549, -7.7276},
        Row{40, 0.3, 1.01075, -13.9292}, Row{80, 0.3, 1.56714, -23.4270}, Row{160, 0.3, 2.23702, -37.6852},
        Row{5, 0.5, 0.04293, -0.8677},   Row{10, 0.5, 0.08579, -1.7343},  Row{20, 0.5, 0.17104, -3.4605},
        Row{40, 0.5, 0.33791, -6.8586},  Row{80, 0.5, 0.64744, -13.2925}, Row{160, 0.5, 1.15109, -24.4201}};
    constexpr std::array pulled{
        Row{1, 0.2, 0.19933, -1.8113},   Row{5, 0.2, 0.84254, -7.8503},   Row{10, 0.2, 1.34754, -13.0557},
        Row{20, 0.2, 1.97357, -20.4357}, Row{40, 0.2, 2.73578, -31.2337}, Row{1, 0.3, 0.13831, -1.3763},
        Row{5, 0.3, 0.63337, -6.3653},   Row{10, 0.3, 1.08390, -11.1079}, Row{20, 0.3, 1.67183, -17.8143},
        Row{40, 0.3, 2.38969, -27.1483}, Row{1, 0.5, 0.05044, -0.7886},   Row{5, 0.5, 0.25008, -3.9130},
        Row{10, 0.5, 0.48823, -7.6555},  Row{20, 0.5, 0.90530, -14.2939}, Row{40, 0.5, 1.52503, -24.5080}};
    const auto run = [&recorder](const Row& row, bool ring) {
        PlateProblem problem = unit_plate(row.ratio, supports('l'));
        problem.theory = PlateTheory::von_karman;
        put_on(problem, ring ? RoarkLoad::ring : RoarkLoad::pressure, ring ? 1.0 : row.ratio,
               row.load * thickness);
        const PlateSolution s = plate::solve(problem);
        const std::string name = fmt::format("von Kármán, {}, P = {}, b/a = {}",
                                             ring ? "rim ring" : "pressure", row.load, row.ratio);
        const Source source{"", "the plate's differential equations solved as a boundary value problem"};
        recorder.add({name + ": w_a/t", source, Kind::computed_reference, row.lift,
                      s.deflection.back() / thickness, absolute(1.1e-5, "reference printed to five decimals"),
                      ""});
        recorder.add({name + ": moment at the clamp", source, Kind::computed_reference, row.moment,
                      s.resultants.front().M_r * rim * rim / (stiffness() * thickness),
                      absolute(1.1e-4, "reference printed to four decimals"), ""});
    };
    for (const Row& row : pressed)
        run(row, false);
    for (const Row& row : pulled)
        run(row, true);
}

/// In the plate's own numbers w_a/t depends on q a⁴/(D t) alone, however thin the plate: elements that lock
/// fall short as it gets thinner.
void thin(Recorder& recorder) {
    constexpr double ratio = 0.3;
    for (const double slenderness : {10.0, 100.0, 1000.0}) {
        PlateProblem problem = unit_plate(ratio, supports('l'));
        problem.theory = PlateTheory::von_karman;
        problem.thickness = (1.0 - ratio) * rim / slenderness;
        const double q = 80.0 * plate::bending_stiffness(problem.material, problem.thickness) *
                         problem.thickness / std::pow(rim, 4);
        problem.pressures.push_back({ratio * rim, rim, q, q});
        recorder.add(
            {fmt::format("von Kármán, pressure, P = 80, b/a = 0.3, width/thickness = {}: w_a/t", slenderness),
             {"", "the plate's differential equations solved as a boundary value problem"},
             Kind::computed_reference,
             1.56714,
             plate::solve(problem).deflection.back() / problem.thickness,
             absolute(1.1e-5, "reference printed to five decimals"),
             ""});
    }
}

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
    return plate::solve(problem);
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
    struct Row {
        double Qb;
        const char* lift; ///< w_0/t
        const char* edge_bending;
        const char* edge_membrane;
        const char* hub_bending;
        const char* hub_membrane;
    };
    for (const Row& row : std::vector<Row>{{1, "0.16803", "0.7439", "0.0135", "0.7351", "0.0424"},
                                           {2, "0.32284", "1.4563", "0.0500", "1.3948", "0.1561"},
                                           {3, "0.45884", "2.1231", "0.1016", "1.9489", "0.3144"},
                                           {6, "0.77024", "3.8775", "0.2930", "3.0905", "0.8786"},
                                           {10, "1.05196", "5.8441", "0.5619", "3.9483", "1.6265"},
                                           {15, "1.30207", "7.9721", "0.8851", "4.5786", "2.4783"},
                                           {20, "1.49379", "9.8793", "1.1910", "4.9940", "3.2524"},
                                           {30, "1.78619", "13.287", "1.7607", "5.5480", "4.6397"}}) {
        const PlateSolution s = circular(small_hub, row.Qb, clamped);
        const auto add = [&](const char* what, const char* expected, double got) {
            recorder.add(
                {fmt::format("clamped circle, Qb = {}: {}", row.Qb, what),
                 {"", "von Kármán's equations from a vanishing hub to the rim, as a boundary value problem"},
                 Kind::computed_reference,
                 printed_value(expected),
                 got,
                 absolute(last_digit(expected),
                          "the last digit of the reference; a hub of 0.0003 a takes 3e-6"),
                 ""});
        };
        const plate::Resultants& hub = s.resultants.front();
        const plate::Resultants& edge = s.resultants.back();
        add("w_0/t", row.lift, lift(s));
        add("bending stress at the edge", row.edge_bending, bending(edge.M_r));
        add("membrane stress at the edge", row.edge_membrane, membrane(edge.N_r));
        add("radial bending stress at the hub", row.hub_bending, bending(hub.M_r));
        add("radial membrane stress at the hub", row.hub_membrane, membrane(hub.N_r));
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

void large_deflection_checks(Recorder& recorder) {
    annular(recorder);
    thin(recorder);
    clamped_circle(recorder);
    vanishing_hub(recorder);
    series(recorder);
    formulas_for_circles(recorder);
}

} // namespace valve::validation
