#include <support/catch.hpp>
#include <valve/core/bracket.hpp>

#include <cmath>
#include <optional>

using namespace valve;

TEST_CASE("a bracket ends where no number lies between its ends, whatever accuracy is asked",
          "[core][bracket]") {
    for (const double place : {3.0, 1e13}) {
        int count = 0;
        const auto before = [&](double x) -> std::optional<bool> {
            ++count;
            return x < place;
        };
        const Bracket found = bisect(0.5 * place, 2.0 * place, 0.0, before);
        CHECK(found.low <= place);
        CHECK(found.high >= place);
        CHECK_THAT(found.high, WithinRel(place, 1e-6));
        CHECK(count < 60); // 53 bits
    }
    int count = 0;
    const auto cube = [&](double x) -> std::optional<double> {
        ++count;
        return x * x * x - 2.0;
    };
    const Bracket found = close_in({1.0, -1.0}, {2.0, 6.0}, 1e-17, cube);
    CHECK_THAT(found.high, WithinRel(std::cbrt(2.0), 1e-15));
    CHECK(count < 120);
}

TEST_CASE("a function that gives nothing ends the search where it stands", "[core][bracket]") {
    const Bracket found = bisect(1.0, 3.0, 1e-3, [](double) { return std::optional<bool>(); });
    CHECK(found.low == 1.0);
    CHECK(found.high == 3.0);
}
