#include <stack/random_stack.hpp>
#include <stack/verify.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/stack/path.hpp>

#include <array>

using namespace valve;
using namespace valve::stack;

namespace {

/// Follows random stacks and holds every state against the verifier. Returns how many were refused.
int follow_random_stacks(Theory theory, int count, double top_pressure) {
    std::mt19937 random(20260101);
    int refused = 0;
    for (int i = 0; i < count; ++i) {
        CAPTURE(i);
        const Stack stack = testing::random_stack(random, 10);
        REQUIRE(first_error(check(stack)) == nullptr);
        Path path(stack, theory, plate::Grading{});
        for (const double share : {0.001, 0.01, 0.1, 0.3, 1.0}) {
            CAPTURE(share);
            const State* state = path.at(share * top_pressure);
            if (state == nullptr) {
                CAPTURE(path.refusal());
                CHECK(path.refusal().find("beyond the theory") != std::string::npos);
                ++refused;
                break;
            }
            const testing::Verdict verdict = testing::verify(path.problem(), *state);
            CAPTURE(verdict.load, verdict.highest);
            // Rounding: elements between edges 0.05 mm apart are some 1e10 times as stiff as the stack.
            CHECK(verdict.overlap <= 1e-7 * verdict.highest);
            CHECK(verdict.pull <= 1e-5 * verdict.load);
            CHECK(verdict.both <= 1e-5);
            CHECK(verdict.imbalance <= 1e-5 * verdict.load);
        }
    }
    return refused;
}

} // namespace

TEST_CASE("random legal stacks find their equilibrium, linear plates", "[stack]") {
    CHECK(follow_random_stacks(Theory::linear, 100, 50e5) == 0);
}

TEST_CASE("random legal stacks find their equilibrium or the end of the theory, large deflection",
          "[stack]") {
    follow_random_stacks(Theory::large_deflection, 20, 100e5);
}
