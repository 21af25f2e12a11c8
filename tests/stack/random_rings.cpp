// valve_random_rings COUNT SHIMS [SEED]: holds the states of so many random legal stacks of 1 to SHIMS shims,
// over windows or beyond buckling, against the verifier round the ring, and prints what it counted. Exits 1
// when one of them finds no state or breaks a condition. Apart from valve_tests for its length.
#include <stack/ring_walk.hpp>

#include <fmt/core.h>

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <exception>
#include <thread>
#include <vector>

namespace {

using namespace valve::stack;

testing::RingWalk walk_or_failure(const Stack& stack) {
    try {
        return testing::walk_ring(stack);
    } catch (const std::exception& error) {
        testing::RingWalk failed;
        failed.worst.failure = error.what();
        return failed;
    }
}

bool all_hold(std::size_t count, int most_shims, unsigned seed) {
    std::mt19937 random(seed);
    std::vector<Stack> stacks;
    while (stacks.size() < count)
        stacks.push_back(testing::random_ring(random, most_shims));
    std::vector<testing::RingWalk> walks(count);
    std::atomic<std::size_t> next{0};
    std::vector<std::thread> threads;
    for (unsigned t = 0; t < std::max(1U, std::thread::hardware_concurrency()); ++t)
        threads.emplace_back([&] {
            for (std::size_t i = next++; i < count; i = next++)
                walks[i] = walk_or_failure(stacks[i]);
        });
    for (std::thread& thread : threads)
        thread.join();

    testing::RingWalk worst;
    int failed = 0, ended = 0, round = 0, windows = 0, states = 0, limited = 0, jumps = 0;
    for (std::size_t i = 0; i < count; ++i) {
        const testing::RingWalk& walk = walks[i];
        round += walk.round ? 1 : 0;
        windows += stacks[i].windows > 0 ? 1 : 0;
        ended += walk.worst.end.empty() ? 0 : 1;
        limited += walk.limited ? 1 : 0;
        jumps += walk.jumps ? 1 : 0;
        states += walk.states;
        worst.take_worse(walk);
        if (walk.holds()) continue;
        ++failed;
        fmt::print("stack {} of {} shims, {} windows, fails: {}\n", i, stacks[i].shims.size(),
                   stacks[i].windows, walk.words());
    }
    fmt::print(
        "counted: {} random stacks of 1 to {} shims, {} over windows, {} that never buckle, {} states: {} "
        "failed, {} end before, {} with a limit, {} begin with a jump; worst {}\n",
        count, most_shims, windows, round, states, failed, ended, limited, jumps, worst.words());
    return failed == 0;
}

} // namespace

int main(int argc, char** argv) {
    try {
        const auto number = [&](int place) {
            return argc > place ? std::strtol(argv[place], nullptr, 10) : 0;
        };
        if (argc > 4 || number(1) < 1 || number(2) < 1) {
            fmt::print(stderr, "usage: valve_random_rings COUNT SHIMS [SEED]\n");
            return 2;
        }
        if (!testing::sees_faults()) {
            fmt::print("the verifier refuses a good state, or passes a wrong one\n");
            return 1;
        }
        const unsigned seed = argc == 4 ? static_cast<unsigned>(number(3)) : 20260103U;
        return all_hold(static_cast<std::size_t>(number(1)), static_cast<int>(number(2)), seed) ? 0 : 1;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "valve_random_rings: %s\n", error.what());
        return 1;
    }
}
