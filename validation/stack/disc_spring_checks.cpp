#include <stack/one_shim.hpp>
#include <stack/parts.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

namespace valve::validation {
namespace {

constexpr double rim = 15e-3;
constexpr double thickness = 5e-5; // so thin that no travel here slopes it by more than 0.3 rad [m]
constexpr double poisson_ratio = plate::Material{}.poisson_ratio;
constexpr double youngs_modulus = plate::Material{}.youngs_modulus;

/// A disc spring without cone height, pushed at its inner edge and held at its outer, both free to turn and
/// to slide, here a shim between seat and spring: en_16984 after almen_laszlo_1936, which keeps the cross
/// section straight. Diameter ratio `delta`, travel s.
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

/// The shim on its seat, and the spring of a float on its inner edge.
stack::LiftPoint pushed(const FlatDisc& disc, double force) {
    stack::Stack stack;
    stack.shims = {{rim, thickness, {}}};
    stack.clamp_radius = stack.bore_radius = rim / disc.delta;
    stack.edge = stack::InnerEdge::free;
    stack.zone = {stack.bore_radius, rim};
    stack.seat = {rim, rim, 0.0};
    stack.floating = soft_float(force, stack.bore_radius, stack.bore_radius, stack::RestsOn::seat);
    return solved(stack, std::array{0.0}, stack::Theory::large_deflection).front().state;
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
            const double travel = -pushed(disc, force).float_lift;
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
        const stack::LiftPoint s = pushed(disc, disc.force(aim * thickness));
        const double travel = -s.float_lift;
        recorder.add(
            {fmt::format("flat disc spring, De/Di = 1.05, s/t = {:.2f}: hoop stress, inner edge",
                         travel / thickness),
             source(), Kind::memory, free_section * (disc.bending(travel) + disc.membrane(travel)),
             s.peak.stress,
             relative(1e-2, "a free section bends the other way: over half its width the slope changes by "
                            "ν/2 (1 - Di/De) = 0.7 %"),
             "Pa"});
    }
}

} // namespace

void disc_spring_checks(Recorder& recorder) {
    forces(recorder);
    stresses(recorder);
}

} // namespace valve::validation
