#include <frame/numbers.hpp>
#include <support/catch.hpp>

#include <stdexcept>

using namespace valve::validation;

TEST_CASE("validation: computed references are read by group and quantity", "[validation]") {
    const Numbers known{R"({"leg, 0.05 m in": {"energy": 10.8, "force": 356.2}})"};
    CHECK(known.at("leg, 0.05 m in", "force") == 356.2);
    CHECK_THROWS_WITH(known.at("leg", "force"), contains_text("no group \"leg\""));
    CHECK_THROWS_WITH(known.at("leg, 0.05 m in", "rate"), contains_text("no \"rate\" of \"leg, 0.05 m in\""));
    CHECK_THROWS_AS(Numbers{"[1, 2"}, std::invalid_argument);
    CHECK_THROWS_AS(Numbers{R"({"leg": {"force": "much"}})"}, std::invalid_argument);
}

TEST_CASE("validation: the programs' numbers are there, and no others", "[validation]") {
    CHECK(numbers("plates").at("clamped circle, Qb 1", "lift") > 0.0);
    CHECK_THROWS_WITH(numbers("beams"), contains_text("cannot read"));
}
