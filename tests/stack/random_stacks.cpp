// valve_random_stacks LINEAR LARGE: follows so many random legal stacks of 1 to 30 shims, linear to 50 bar
// and in large deflection to 100 bar, holds every state against the verifier, and prints what it counted.
// Exits 1 when one of them finds no state, breaks a condition, or when 1 % or more of those of three shims
// and more end before the pressure is reached. Apart from valve_tests for its length.
#include <stack/random_stack.hpp>
#include <stack/random_walk.hpp>

#include <fmt/core.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <exception>
#include <thread>
#include <vector>

namespace {

using namespace valve::stack;

testing::Walk walk_or_failure(const Stack& stack, Theory theory, double top_pressure) {
    try {
        return testing::walk(stack, theory, top_pressure);
    } catch (const std::exception& error) {
        testing::Walk failed;
        failed.failure = error.what();
        return failed;
    }
}

/// Walks of all stacks, by as many threads as the machine runs at once; in the order of the stacks.
std::vector<testing::Walk> walk_all(const std::vector<Stack>& stacks, Theory theory, double top_pressure) {
    std::vector<testing::Walk> walks(stacks.size());
    std::atomic<std::size_t> next{0};
    std::vector<std::thread> threads;
    for (unsigned t = 0; t < std::max(1U, std::thread::hardware_concurrency()); ++t)
        threads.emplace_back([&] {
            for (std::size_t i = next++; i < stacks.size(); i = next++)
                walks[i] = walk_or_failure(stacks[i], theory, top_pressure);
        });
    for (std::thread& thread : threads)
        thread.join();
    return walks;
}

bool all_hold(const std::vector<Stack>& stacks, Theory theory, double top_pressure) {
    const std::vector<testing::Walk> walks = walk_all(stacks, theory, top_pressure);
    testing::Walk worst;
    int failed = 0;
    int ended = 0;
    int ended_of_three = 0;
    int of_three = 0;
    for (std::size_t i = 0; i < walks.size(); ++i) {
        const testing::Walk& walk = walks[i];
        const bool three = stacks[i].shims.size() >= 3;
        of_three += three ? 1 : 0;
        worst.take_worse(walk);
        if (!walk.holds()) {
            ++failed;
            fmt::print("stack {} of {} shims fails: {}\n", i, stacks[i].shims.size(), walk.words());
        } else if (!walk.end.empty()) {
            ++ended;
            ended_of_three += three ? 1 : 0;
            fmt::print("stack {} of {} shims ends: {}\n", i, stacks[i].shims.size(), walk.end);
        }
    }
    fmt::print(
        "counted: {} random stacks of 1 to 30 shims to {:.0f} bar, {}: {} failed, {} end before ({} of "
        "{} with three shims or more); worst {}\n",
        walks.size(), top_pressure / 1e5, name(theory), failed, ended, ended_of_three, of_three,
        worst.words());
    return failed == 0 && 100 * ended_of_three < of_three;
}

std::vector<Stack> draw(std::size_t count) {
    std::mt19937 random(20260101);
    std::vector<Stack> stacks;
    while (stacks.size() < count)
        stacks.push_back(testing::random_stack(random, 30));
    return stacks;
}

} // namespace

int main(int argc, char** argv) {
    try {
        const long linear = argc == 3 ? std::strtol(argv[1], nullptr, 10) : 0;
        const long large = argc == 3 ? std::strtol(argv[2], nullptr, 10) : 0;
        if (linear < 1 || large < 1) {
            fmt::print(stderr, "usage: valve_random_stacks LINEAR LARGE\n");
            return 2;
        }
        const bool flat = all_hold(draw(static_cast<std::size_t>(linear)), Theory::linear, 50e5);
        const bool bent = all_hold(draw(static_cast<std::size_t>(large)), Theory::large_deflection, 100e5);
        return flat && bent ? 0 : 1;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "valve_random_stacks: %s\n", error.what());
        return 1;
    }
}
