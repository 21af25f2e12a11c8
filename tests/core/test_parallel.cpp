#include <support/catch.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>

#include <cstddef>
#include <new>
#include <string>
#include <vector>

using namespace valve;

TEST_CASE("what work by index throws comes out, of the lowest index, once all is done", "[core]") {
    std::vector<int> done(50, 0);
    const auto run = [&](std::size_t first_fault) {
        for_each_index(done.size(), [&](std::size_t i) {
            ++done[i];
            if (i >= first_fault) throw SolveError(std::to_string(i));
        });
    };
    CHECK_THROWS_WITH(run(7), "7");
    CHECK(done == std::vector<int>(50, 1));
    CHECK_NOTHROW(run(50));
    // Whatever it is.
    CHECK_THROWS_AS(for_each_index(3, [](std::size_t) { throw std::bad_alloc(); }), std::bad_alloc);
}
