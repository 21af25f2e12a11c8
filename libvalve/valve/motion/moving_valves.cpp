#include <valve/core/error.hpp>
#include <valve/flow/opening.hpp>
#include <valve/flow/valve_law.hpp>
#include <valve/motion/moving_valves.hpp>
#include <valve/motion/valve_profiles.hpp>
#include <valve/stack/solution.hpp>

#include <memory>
#include <stdexcept>
#include <string>

namespace valve::motion {

MovingValves MovingValves::without_friction() const {
    MovingValves valves;
    for (const damper::Place place : damper::all_places)
        if (const std::optional<MovingValve>& valve = (*this)[place])
            valves[place] = valve->without_friction();
    return valves;
}

void require_all_or_none(const MovingValves& valves, const damper::SetUp& setup) {
    if (valves.none()) return;
    for (const damper::Place place : damper::all_places) {
        const std::string name(damper::name(place));
        if (setup.valves[place] && !valves[place])
            throw std::invalid_argument("moving valves: " + name +
                                        " is missing; all valves of a damper move, or none");
        if (!setup.valves[place] && valves[place])
            throw std::invalid_argument("moving valves: the damper has no " + name);
    }
}

MovingValves moving_valves(const damper::Model& model, damper::LiftCache& cache) {
    MovingValves valves;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = model.setup().valves[place];
        if (!valve) continue;
        const std::string name(damper::name(place));
        try {
            const std::shared_ptr<const stack::Solution> solution = cache.solution(valve->stack);
            const flow::ValveLaw::Bent bent = cache.bent(*valve);
            if (!bent && flow::opens_over_ports(*valve))
                throw SolveError("its ports are windows, over which the shims lift more than between them; "
                                 "that is followed in time only as stacks bend");
            const double density = model.oil().density;
            valves[place].emplace(*valve,
                                  bent ? bent_profile_of(bent, density)
                                       : profile_of(valve->stack, solution->motion(), density),
                                  solution->curve().load_area, model.oil());
        } catch (const SolveError& error) {
            throw SolveError(name + ": " + error.what());
        } catch (const std::invalid_argument& error) {
            throw SolveError(name + ": its lift curve cannot be followed in time: " + error.what());
        }
    }
    return valves;
}

} // namespace valve::motion
