// valve_random_rides [COUNT [SEED [each] [heavy]]]: rides on random set-ups, all of which must end; with
// "each", each over all three events; with "heavy", their reservoirs' pistons have mass.

#include <motion/random_ride.hpp>

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <cstring>

int main(int argc, char** argv) {
    const int count = argc > 1 ? std::atoi(argv[1]) : 100;
    const unsigned seed = argc > 2 ? static_cast<unsigned>(std::atoi(argv[2])) : 1U;
    const auto asked = [&](const char* word) {
        return std::any_of(argv, argv + argc, [&](const char* it) { return std::strcmp(it, word) == 0; });
    };
    const bool heavy = asked("heavy");
    const valve::tests::RandomRides result =
        asked("each") ? valve::tests::run_random_rides_over_each(count, seed, heavy)
                      : valve::tests::run_random_rides(count, seed, heavy);
    std::printf(
        "%d set-ups: %d finished, %d refused, %d unfit; %ld steps, %ld switches; oil open by %.1e, energy by "
        "%.1e at most (%s)\n%s%s",
        count, result.finished, result.refused, result.unfit, result.steps, result.switches,
        result.worst_mass, result.worst_energy, result.worst.c_str(), result.refusals.c_str(),
        result.faults.c_str());
    return result.faults.empty() ? 0 : 1;
}
