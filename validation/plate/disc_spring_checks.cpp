#include <plate/parts.hpp>
#include <plate/unit_plate.hpp>

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace valve::validation {
namespace {

/// A disc spring without cone height, pushed at its inner edge and held at its outer, both free to turn and
/// to slide: en_16984 after almen_laszlo_1936, which keeps the cross section straight. Diameter ratio
/// `delta`, travel s.
struct FlatDisc {
    double delta = 0.0;

    /// 4 E t²/((1 − ν²) K1 De²) s/t [Pa].
    double stress_unit(double s) const {
        const double part = (delta - 1.0) / delta;
        const double K1 =
            part * part / (std::numbers::pi * ((delta + 1.0) / (delta - 1.0) - 2.0 / std::log(delta)));
        return 4.0 * youngs_modulus / (1.0 - poisson_ratio * poisson_ratio) * thickness * s /
               (K1 * 4.0 * rim * rim);
    }
    /// K2.
    double membrane_factor() const {
        const double ln = std::log(delta);
        return 6.0 / std::numbers::pi * ((delta - 1.0) / ln - 1.0) / ln;
    }
    /// K3.
    double bending_factor() const { return 3.0 / std::numbers::pi * (delta - 1.0) / std::log(delta); }

    double force(double s) const {
        const double y = s / thickness;
        return stress_unit(s) * thickness * thickness * (0.5 * y * y + 1.0);
    }
    /// Hoop stresses at the inner edge [Pa].
    double bending(double s) const { return stress_unit(s) * bending_factor(); }
    double membrane(double s) const { return stress_unit(s) * membrane_factor() * 0.5 * s / thickness; }
};

plate::PlateSolution pushed(const FlatDisc& disc, double force) {
    plate::PlateProblem problem = unit_plate(1.0 / disc.delta, supports('a'));
    problem.theory = plate::PlateTheory::von_karman;
    problem.rings.push_back({problem.inner_radius, force});
    return plate::solve(problem);
}

/// What a cross section that may bend takes off the force of a straight one, exact for a narrow ring, whose
/// stress is all along the hoop.
constexpr double free_section = 1.0 - poisson_ratio * poisson_ratio;

Source source() {
    return {"almen_laszlo_1936", "in the form of EN 16984, times 1 - ν² for a cross section that may bend"};
}

void forces(Recorder& recorder) {
    for (const double delta : {1.05, 1.5, 2.0})
        for (const double aim : {0.25, 0.5, 1.0}) {
            const FlatDisc disc{delta};
            const double force = disc.force(aim * thickness);
            const double travel = pushed(disc, force).deflection.front();
            const double width = 1.0 - 1.0 / delta;
            recorder.add(
                {fmt::format("flat disc spring, De/Di = {}, s/t = {:.2f}: force", delta, travel / thickness),
                 source(), Kind::memory, free_section * disc.force(travel), force,
                 relative(width * width / 6.0,
                          "1 - ν² is for a narrow ring; a wide one is stiffer by the square of its width"),
                 "N"});
        }
}

void stresses(Recorder& recorder) {
    const FlatDisc disc{1.05};
    for (const double aim : {0.5, 1.0, 2.0}) {
        const plate::PlateSolution s = pushed(disc, disc.force(aim * thickness));
        const double travel = s.deflection.front();
        const plate::Resultants& inner = s.resultants.front();
        const auto add = [&](const char* what, double straight, double got) {
            recorder.add(
                {fmt::format("flat disc spring, De/Di = 1.05, s/t = {:.2f}: {}", travel / thickness, what),
                 source(), Kind::memory, free_section * straight, got,
                 relative(1e-2, "a free section bends the other way: over half its width the slope "
                                "changes by ν/2 (1 - Di/De) = 0.7 %"),
                 "Pa"});
        };
        add("hoop bending stress, inner edge", disc.bending(travel),
            6.0 * std::abs(inner.M_t) / (thickness * thickness));
        add("hoop membrane stress, inner edge", disc.membrane(travel), std::abs(inner.N_t) / thickness);
    }
}

} // namespace

void disc_spring_checks(Recorder& recorder) {
    forces(recorder);
    stresses(recorder);
}

} // namespace valve::validation
