// valve_random_rides [COUNT [SEED]]: rides on random set-ups, all of which must end.

#include <motion/random_ride.hpp>

#include <cstdio>
#include <cstdlib>

int main(int argc, char** argv) {
    const int count = argc > 1 ? std::atoi(argv[1]) : 100;
    const unsigned seed = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 1U;
    const valve::tests::RandomRides result = valve::tests::run_random_rides(count, seed);
    std::printf(
        "%d set-ups: %d finished, %d refused, %d unfit; %ld steps, %ld switches; oil open by %.1e, energy by "
        "%.1e at most\n%s%s",
        count, result.finished, result.refused, result.unfit, result.steps, result.switches,
        result.worst_mass, result.worst_energy, result.refusals.c_str(), result.faults.c_str());
    return result.faults.empty() ? 0 : 1;
}
