// valve_random_cycles [COUNT [SEED [RESTITUTION [heavy]]]]: cycles of random dampers, all of which must end;
// of their plates each keeps a share of its speed at its seat, drawn up to the one given; heavy: their
// reservoirs' pistons have mass.

#include <motion/random_cycle.hpp>

#include <cstdio>
#include <cstdlib>

int main(int argc, char** argv) {
    const int count = argc > 1 ? std::atoi(argv[1]) : 200;
    const unsigned seed = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 1U;
    const valve::tests::RandomParts parts{.most_restitution = argc > 3 ? std::atof(argv[3]) : 0.0,
                                          .heavy_pistons = argc > 4};
    const valve::tests::RandomCycles result = valve::tests::run_random_cycles(count, seed, parts);
    std::printf(
        "%d dampers: %d finished, %d refused, %d without a steady state; %ld steps; oil open by %.1e, "
        "energy by %.1e at most (%s)\n%s%s",
        count, result.finished, result.refused, result.without_steady_state, result.steps, result.worst_mass,
        result.worst_energy, result.worst.c_str(), result.refusals.c_str(), result.faults.c_str());
    return result.faults.empty() ? 0 : 1;
}
