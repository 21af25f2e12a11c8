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

using plate::Surround;

PlateProblem annulus(double inner_ratio, EdgeSupport inner) {
    PlateProblem problem;
    problem.inner_radius = inner_ratio * rim;
    problem.outer_radius = rim;
    problem.thickness = thickness;
    problem.inner = inner;
    return problem;
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

} // namespace

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

    PlateProblem plate_in_wall = annulus(1e-3, EdgeSupport::free);
    plate_in_wall.outer = EdgeSupport::fixed;
    const auto slowed = [&](double oil_density) { // (f0/f)²
        plate::Vibration vibration = vibration_of(plate_in_wall, nullptr, 0);
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

} // namespace valve::validation
