#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/figure_words.hpp>

#include <algorithm>
#include <cmath>
#include <string>

// The story that the set-ups in stacks/ tell. The numbers in the checks are of the story, not of a real fork.

using namespace valve::report;
using namespace valve::study;
using valve::setup::Document;

namespace {

const std::string stacks = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork";

/// All four, solved once.
const Comparison& demo() {
    static const Comparison comparison = [] {
        valve::damper::LiftCache lifts;
        return compare({Document::load(stacks + ".yaml"), Document::load(stacks + "-softer-check.yaml"),
                        Document::load(stacks + "-more-float.yaml"), Document::load(stacks + "-both.yaml")},
                       {}, lifts);
    }();
    return comparison;
}

enum Setup : std::size_t { as_found, softer_check, more_float, both };

std::optional<double> value(Setup setup, Quantity quantity, std::optional<double> speed = std::nullopt) {
    for (const Figure& figure : demo().setups.at(setup).headline.figures)
        if (figure.quantity == quantity && figure.speed == speed) return figure.value;
    FAIL("no such figure");
    return std::nullopt;
}

/// Largest relative difference of the figures on one stroke: damping force, and deficit or margin.
double largest_move(Setup setup, bool rebound) {
    double largest = 0.0;
    const std::vector<Figure>& from = demo().setups.at(as_found).headline.figures;
    const std::vector<Figure>& to = demo().setups.at(setup).headline.figures;
    for (std::size_t i = 0; i < from.size(); ++i)
        if (from[i].speed && (*from[i].speed < 0.0) == rebound)
            largest = std::max(largest, std::abs(*to[i].value / *from[i].value - 1.0));
    return largest;
}

} // namespace

// One test case, since the four set-ups take seconds to solve.
TEST_CASE("the demo fork tells its story", "[report][demo]") {
    SECTION("the demo fork as found voids both ways and its mid-valve takes over") {
        CHECK_FALSE(demo().failed());
        CHECK(value(as_found, Quantity::void_onset_rebound).value_or(9.0) < 2.0);
        CHECK(value(as_found, Quantity::void_onset_near_extension_rebound).value_or(9.0) <
              value(as_found, Quantity::void_onset_rebound).value_or(0.0));
        CHECK(value(as_found, Quantity::balance_margin, 1.0).value_or(-1.0) > 0.0);
        CHECK(value(as_found, Quantity::balance_margin, 3.0).value_or(1.0) < 0.0);
    }

    SECTION("a softer check plate ends the voids on rebound and touches nothing on compression") {
        CHECK_FALSE(value(softer_check, Quantity::void_onset_rebound));
        CHECK_FALSE(value(softer_check, Quantity::void_onset_near_extension_rebound));
        CHECK(3.0 * *value(softer_check, Quantity::refill_deficit, -1.0) <
              *value(as_found, Quantity::refill_deficit, -1.0));
        // The refill valve is one-way, so that compression never passes it: equal to rounding.
        CHECK(largest_move(softer_check, false) < 1e-9);
        CHECK(value(softer_check, Quantity::void_onset_compression) ==
              value(as_found, Quantity::void_onset_compression));
    }

    SECTION("more mid-valve float keeps the base in front and touches nothing on rebound") {
        CHECK_FALSE(value(more_float, Quantity::balance_negative_from));
        CHECK(value(more_float, Quantity::balance_margin, 3.0).value_or(-1.0) > 0.0);
        CHECK_FALSE(value(more_float, Quantity::void_onset_compression));
        CHECK(largest_move(more_float, true) < 1e-9);
    }

    SECTION("both cures together do what each does") {
        for (const Figure& figure : demo().setups.at(both).headline.figures) {
            if (!figure.speed) continue;
            const Setup cure = *figure.speed < 0.0 ? softer_check : more_float;
            CHECK_THAT(*figure.value, WithinRel(*value(cure, figure.quantity, figure.speed), 1e-9));
        }
    }

    SECTION("the demo's changes are put down to the valve that was changed") {
        for (std::size_t i = 0; i < demo().variants.size(); ++i)
            for (const Change& change : demo().variants[i].changes) {
                const bool of_check = because_words(change).find("base.refill") != std::string::npos;
                const bool of_mid_valve =
                    because_words(change).find("piston.compression") != std::string::npos;
                INFO(demo().setups[i + 1].file << ": " << words(change.to) << ": " << because_words(change));
                CHECK(of_check != of_mid_valve);
                const bool on_rebound = change.to.speed
                                            ? *change.to.speed < 0.0
                                            : words(change.to).find("rebound") != std::string::npos;
                CHECK(of_check == on_rebound);
            }
        const std::vector<std::string> said = sentences(demo().variants.front(), 4.0);
        REQUIRE_FALSE(said.empty());
        CHECK(said.front().rfind("Voids on rebound from 1.3", 0) == 0);
    }
}
