#include <frame/numbers.hpp>
#include <stack/parts.hpp>
#include <valve/stack/solution.hpp>
#include <valve/stack/wave_branches.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>
#include <vector>

namespace valve::validation {
namespace {

constexpr double mm = 1e-3; // [m]
constexpr double bar = 1e5; // [Pa]

/// A group of validation/references/waves.py.
struct Group {
    const char* name;
    bool clamped; ///< else held at its bore, free to turn there
    int waves;
    bool first;                    ///< the fewest pressure buckles the round shape into them
    std::vector<double> pressures; ///< [bar]
};

/// The shim of that program: 15 x 0.2 (radius) from 6 mm, pressure from 8 mm to a knife edge at 14.5. Held at
/// its bore it is a float that never lifts.
stack::Stack shim_of(const Group& group) {
    stack::Stack stack;
    stack.shims = {{15.0 * mm, 0.2 * mm, {}}};
    stack.shims.front().material.youngs_modulus = 206e9;
    stack.shims.front().material.poisson_ratio = 0.3;
    stack.clamp_radius = stack.bore_radius = 6.0 * mm;
    stack.zone = {8.0 * mm, 14.5 * mm};
    stack.seat = {14.5 * mm, 14.5 * mm, 0.0};
    if (group.clamped) return stack;
    stack.edge = stack::InnerEdge::free;
    stack.floating = stack::Float{.travel = 0.2 * mm,
                                  .spring_rate = 10.0,
                                  .preload = 500.0,
                                  .ring_radius = stack.bore_radius,
                                  .spring_radius = stack.bore_radius,
                                  .stop_radius = stack.bore_radius,
                                  .rests_on = stack::RestsOn::hub};
    return stack;
}

stack::WaveBranch branch_at(const stack::Solution& solution, double pressure, int waves) {
    const std::vector<stack::WaveBranch> branches = stack::wave_branches(solution, pressure);
    const auto found =
        std::find_if(branches.begin(), branches.end(),
                     [waves](const stack::WaveBranch& branch) { return branch.waves.count == waves; });
    if (found == branches.end()) throw std::runtime_error(fmt::format("no branch of {} waves", waves));
    return *found;
}

} // namespace

void wave_checks(Recorder& recorder) {
    const Source source{"timoshenko_woinowsky_krieger_1959",
                        "von Kármán's equations with a stress function, polynomials times cosines, by "
                        "references/waves.py"};
    const Tolerance of_buckling = relative(1.1e-3, "the search ends at 1e-3, the reference has five digits");
    const Tolerance of_other = relative(1.1e-2, "a neighbour's pressure is located to 1e-2");
    const Tolerance of_lift = relative(1e-4, "the reference has five digits; 14 elements along the radius");
    const Tolerance of_energy = relative(1e-3, "small differences of energies a thousand times as large");
    const std::vector<Group> groups{
        {"clamped, 3 waves", true, 3, true, {1.624, 1.856, 2.011, 2.475, 3.867}},
        {"bore supported, 2 waves", false, 2, true, {0.568, 0.649, 0.703, 0.866, 1.0}},
        {"bore supported, 3 waves", false, 3, false, {0.703, 0.866, 1.0}}};
    for (const Group& group : groups) {
        const stack::Solution solution(shim_of(group), {.max_pressure = 6.0 * bar});
        const auto add = [&](const std::string& quantity, double got, const Tolerance& tolerance,
                             const char* unit) {
            recorder.add({fmt::format("30 x 0.20, {}: {}", group.name, quantity), source,
                          Kind::computed_reference, numbers("waves").at(group.name, quantity), got, tolerance,
                          unit});
        };
        double buckles = 0.0;
        for (const double pressure : group.pressures) {
            const stack::WaveBranch branch = branch_at(solution, pressure * bar, group.waves);
            const auto name = [pressure](const char* what) {
                return fmt::format("{} bar, {}", pressure, what);
            };
            add(name("mean"), branch.lift.state.seat_lift, of_lift, "m");
            add(name("crest"), branch.lift.mid_port, of_lift, "m");
            add(name("trough"), branch.lift.mid_land, of_lift, "m");
            add(name("released"), branch.released, of_energy, "J");
            buckles = branch.waves.pressure;
        }
        add("buckles at", buckles, group.first ? of_buckling : of_other, "Pa");
    }
}

} // namespace valve::validation
