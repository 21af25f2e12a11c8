#include <notes/demo.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/document.hpp>
#include <valve/study/reading.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve::validation::notes {
namespace {

constexpr double highest = 100.0 * bar; // of lift curves; 3 m/s take less, with ports alone too

damper::SetUp read_fork() {
    const setup::Document document = setup::Document::load(VALVE_DEMO_FORK);
    return study::unit_of(VALVE_DEMO_FORK, setup::read(document));
}

/// On the demo's base valve, flat on its hub.
stack::Stack one_shim() {
    stack::Stack stack;
    stack.shims = {{12.0 * mm, 0.15 * mm, {}}};
    stack.clamp_radius = stack.bore_radius = 6.0 * mm;
    stack.zone = {7.0 * mm, 11.0 * mm};
    stack.seat = {11.0 * mm, 11.5 * mm, 0.0};
    return stack;
}

} // namespace

Demo::Demo() : m_fork(read_fork()), m_lifts({.max_pressure = highest}) {
    for (const damper::Place place : damper::all_places)
        m_stacks.push_back({std::string(damper::name(place)), m_fork.valves[place].value().stack});
    m_stacks.push_back({"one shim, 24 x 0.15", one_shim()});

    const std::vector<double> found = damping_forces(m_fork, speeds);
    const std::vector<double> less = damping_forces(with_every_stack(m_fork, drop_face_shim), speeds);
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < speeds.size(); ++k)
        least = std::min(least, std::abs(less[k] / found[k] - 1.0));
    m_half_a_step = 0.5 * least;
}

Opening Demo::opening(const stack::Stack& stack) {
    Opening opening;
    const std::shared_ptr<const stack::Solution> solved = solution(stack);
    opening.crack = solved->curve().crack_pressure;
    std::transform(pressures.begin(), pressures.end(), opening.lift.begin(),
                   [&](double pressure) { return solved->at(pressure).seat_lift; });
    return opening;
}

std::vector<double> Demo::damping_forces(const damper::SetUp& fork, std::span<const double> at) {
    return damping_forces(fork, m_lifts.laws(fork), at);
}

std::vector<double> Demo::damping_forces(const damper::SetUp& fork, const damper::LiftLaws& laws,
                                         std::span<const double> at) const {
    const damper::Model model(fork, laws);
    std::vector<double> forces;
    for (const double speed : at)
        forces.push_back(damper::steady_point(model, speed, 0.5 * fork.cartridge.travel).damping_force);
    return forces;
}

void drop_face_shim(stack::Stack& stack) {
    if (stack.shims.size() > 1 && stack.shims[1].outer_radius == stack.shims[0].outer_radius)
        stack.shims.erase(stack.shims.begin());
}

} // namespace valve::validation::notes
