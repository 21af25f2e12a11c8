#include <frame/recorder.hpp>
#include <stack/parts.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <array>
#include <vector>

namespace valve::validation {
namespace {

using stack::Theory;

struct Cut {
    double radius_mm;
    double thickness_mm;
};

/// Clamp 6 mm, loaded by 1 bar from 8 mm to the rim of the face shim.
stack::Stack clamped(const std::vector<Cut>& cuts) {
    stack::Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {8e-3, 15e-3};
    stack.seat = {15e-3, 15e-3, 0.0};
    for (const Cut& cut : cuts)
        stack.shims.push_back({1e-3 * cut.radius_mm, 1e-3 * cut.thickness_mm, {}});
    return stack;
}

/// Tips of stacks in unilateral contact, from a code of its own: Hermite elements and complementarity on even
/// meshes of 0.1 and 0.05 mm.
void contact_checks(Recorder& recorder) {
    struct Case {
        const char* name;
        std::vector<Cut> cuts;
        std::vector<double> tips; ///< [m]
    };
    const std::vector<Case> cases{
        {"15x0.2", {{15, 0.2}}, {0.585624e-3}},
        {"15x0.2, 15x0.2", {{15, 0.2}, {15, 0.2}}, {0.292812e-3, 0.292812e-3}},
        {"15x0.2, 12x0.2", {{15, 0.2}, {12, 0.2}}, {0.310020e-3, 0.180814e-3}},
        {"15x0.2, 12x0.3", {{15, 0.2}, {12, 0.3}}, {0.152448e-3, 0.084157e-3}},
        {"15x0.2, 12x0.2, 9x0.2", {{15, 0.2}, {12, 0.2}, {9, 0.2}}, {0.242481e-3, 0.135865e-3, 0.042710e-3}},
    };
    for (const Case& c : cases) {
        const stack::StackShape bent =
            stack::Solution(clamped(c.cuts), {.theory = Theory::linear}).shape(1e5);
        for (std::size_t i = 0; i < c.tips.size(); ++i)
            recorder.add({fmt::format("stack {} (radii, mm), 1 bar: tip of shim {}", c.name, i + 1),
                          {"", "Hermite elements with complementarity, meshes of 0.1 and 0.05 mm"},
                          Kind::computed_reference,
                          c.tips[i],
                          bent.shims[i].lift.back(),
                          absolute(1.5e-9, "reference meshes agree to 1e-6 mm"),
                          "m"});
    }
}

/// Two shims that share a clamp, touching at the smaller one's rim: contact force from closed influence
/// coefficients, ring load of 10 N in place of the pressure.
void influence_check(Recorder& recorder) {
    // Pressure as narrow as the mesh allows stands in for the ring load at the rim.
    stack::Stack stack = clamped({{15, 0.2}, {12, 0.2}});
    stack.zone.inner_radius = 14.99e-3;
    const double pressure = 10.0 / stack::load_area(stack);
    const stack::StackShape bent = stack::Solution(stack, {.theory = Theory::linear}).shape(pressure);
    const std::array<double, 2> tips{0.116855e-3, 0.060362e-3};
    for (std::size_t i = 0; i < tips.size(); ++i)
        recorder.add({fmt::format("stack 15x0.2, 12x0.2 (radii, mm), 10 N at the rim: tip of shim {}", i + 1),
                      {"young_budynas_2002", "Table 11.2, case 1l, as influence coefficients of two plates"},
                      Kind::computed_reference,
                      tips[i],
                      bent.shims[i].lift.back(),
                      relative(1e-3, "the load is spread over the outer 0.01 mm"),
                      "m"});
}

} // namespace

void stack_checks(Recorder& recorder) {
    contact_checks(recorder);
    influence_check(recorder);
    single_plate_checks(recorder);
    window_checks(recorder);
}

} // namespace valve::validation
