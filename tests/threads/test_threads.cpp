#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/stack/solutions.hpp>

#include <atomic>
#include <functional>
#include <string>
#include <thread>
#include <vector>

using namespace valve;
using namespace valve::stack;
using testing::windowed;

namespace {

constexpr FollowOptions to_2_bar{.max_pressure = 2e5};
constexpr int threads = 4;

/// Runs `work(thread)` in all threads, which begin together. What is asserted is asserted afterwards.
void at_once(const std::function<void(int)>& work) {
    std::atomic<int> ready{0};
    std::vector<std::jthread> running;
    for (int thread = 0; thread < threads; ++thread)
        running.emplace_back([&, thread] {
            ++ready;
            while (ready < threads)
                std::this_thread::yield();
            work(thread);
        });
}

/// Something of every answer.
std::vector<double> answers(const Solution& solution, int first) {
    const std::vector<std::function<double()>> questions{
        [&] { return solution.curve().points.back().seat_lift; },
        [&] { return solution.law().at(1e5).lift; },
        [&] { return solution.at(0.77e5).edge_lift; },
        [&] { return solution.shape(0.5e5).shims.front().lift.back(); },
        [&] { return solution.friction(1.1e5, 0.1).share; },
        [&] { return solution.waves_up_to(1.5e5) ? 1.0 : 0.0; },
        [&] { return solution.ring_lift(0.3e5)->mid_port; },
        [&] { return solution.law_over_ports().law.at(0.3e5).lift; },
        [&] { return solution.uneven_law(0.9e5).ring.lift; },
        [&] { return solution.modes({.most_diameters = 0, .families = 1}).modes[0].frequency_air.value(); },
        [&] { return solution.linear().curve().crack_pressure; },
        [&] { return solution.linear_error().end_pressure; },
    };
    std::vector<double> found(questions.size());
    for (std::size_t i = 0; i < questions.size(); ++i) {
        const std::size_t question = (i + static_cast<std::size_t>(first) * 3) % questions.size();
        found[question] = questions[question]();
    }
    return found;
}

Stack one_shim(double thickness_mm) {
    return windowed({{15, thickness_mm}}, 0, 1.0);
}

} // namespace

TEST_CASE("threads that ask one solution at the same time get what one alone gets", "[threads]") {
    const Stack stack = windowed({{15, 0.2}, {13, 0.2}}, 4, 0.6, 0.02);
    const Solution shared(stack, to_2_bar);
    std::vector<std::vector<double>> found(threads);
    at_once([&](int thread) { found[static_cast<std::size_t>(thread)] = answers(shared, thread); });
    const std::vector<double> alone = answers(Solution(stack, to_2_bar), 0);
    for (const std::vector<double>& by_thread : found)
        CHECK(by_thread == alone); // to the last bit
}

TEST_CASE("threads that ask a cache share its solutions, though it forgets on the way", "[threads]") {
    Solutions solutions(3);
    const FollowOptions options{.theory = Theory::linear, .max_pressure = 1e5};
    Stack overbent = one_shim(0.2);
    overbent.seat.height = 8e-3; // large deflections cannot bear it
    std::vector<std::vector<double>> lifts(threads, std::vector<double>(6));
    std::vector<std::string> failures(threads);
    at_once([&](int thread) {
        const auto mine = static_cast<std::size_t>(thread);
        for (int round = 0; round < 3; ++round)
            for (std::size_t i = 0; i < 6; ++i) {
                const std::size_t k = (i + mine) % 6;
                const auto solution = solutions.of(one_shim(0.1 + 0.01 * static_cast<double>(k)), options);
                lifts[mine][k] = solution->curve().points.back().seat_lift;
            }
        try {
            solutions.of(overbent)->curve();
        } catch (const SolveError& error) {
            failures[mine] = error.what();
        }
    });
    CHECK(solutions.size() == 3);
    for (std::size_t k = 0; k < 6; ++k) {
        const double alone =
            Solution(one_shim(0.1 + 0.01 * static_cast<double>(k)), options).curve().points.back().seat_lift;
        for (const std::vector<double>& by_thread : lifts)
            CHECK(by_thread[k] == alone);
    }
    for (const std::string& failure : failures) {
        CHECK(!failure.empty());
        CHECK(failure == failures.front());
    }
}

TEST_CASE("work by index is done once for each, whatever the threads", "[threads]") {
    for (const std::size_t count : {0u, 1u, 2u, 100u}) {
        std::vector<int> done(count, 0);
        for_each_index(count, [&](std::size_t i) { ++done[i]; });
        CHECK(done == std::vector<int>(count, 1));
    }
}
