#include <damper/samples.hpp>
#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/support.hpp>
#include <valve/report/figures.hpp>

#include <algorithm>

using namespace valve::report;

namespace {

const Figure& figure(const Headline& headline, Quantity quantity,
                     std::optional<double> speed = std::nullopt) {
    const auto found =
        std::find_if(headline.figures.begin(), headline.figures.end(), [&](const Figure& candidate) {
            return candidate.quantity == quantity && candidate.speed == speed;
        });
    REQUIRE(found != headline.figures.end());
    return *found;
}

} // namespace

TEST_CASE("a headline takes its figures from the curve", "[report]") {
    valve::damper::Curve curve = valve::samples::steady_curve();
    curve.void_onset.rebound = 1.3;
    const Headline headline = valve::report::headline(curve, 4.0);
    CHECK_FALSE(headline.failed());
    CHECK(figure(headline, Quantity::void_onset_rebound).value == 1.3);
    CHECK_FALSE(figure(headline, Quantity::void_onset_compression).value);
    CHECK(figure(headline, Quantity::refill_deficit, -1.0).value == 0.4e5);
    CHECK(figure(headline, Quantity::damping_force, -3.0).value == -300.0);
    CHECK(figure(headline, Quantity::reservoir_friction).value == 0.18e5);
}

TEST_CASE("ports of a valve that is not there never lead; a search that broke off is not solved",
          "[report]") {
    Headline headline = valve::report::headline(valve::samples::steady_curve(), 4.0);
    using valve::damper::Place;
    add_ports(headline, {{Place::base_compression, 1.5, std::nullopt},
                         {Place::piston_rebound, std::nullopt, "broke off"}});
    CHECK(figure(headline, Quantity::ports_lead_base_compression).value == 1.5);
    CHECK_FALSE(figure(headline, Quantity::ports_lead_piston_compression).value);
    CHECK(figure(headline, Quantity::ports_lead_piston_compression).error.empty());
    CHECK(figure(headline, Quantity::ports_lead_piston_rebound).error == "broke off");
}

TEST_CASE("static support is summed up by sag, forces over the travel and the energy to its end",
          "[report]") {
    const valve::damper::SetUp unit = valve::samples::fork();
    Headline headline = valve::report::headline(valve::samples::steady_curve(), 4.0);
    const std::size_t before = headline.figures.size();
    add_support(headline, unit, false);
    REQUIRE(headline.figures.size() == before + 5);
    const valve::damper::SupportLaw law(unit);
    CHECK(headline.figures[before].value == law.at(0.1 * 0.3).force);
    CHECK(words(headline.figures[before]) == "support of springs and gas at 10 % travel");
    CHECK(headline.figures.back().value == law.at(0.3).energy);
    CHECK_THROWS_AS(add_support(headline, unit, true), valve::InputError); // it says no load
    CHECK(json(headline).back().at("travel_share").is_null());
}

TEST_CASE("the speed where the balance margin turns negative is interpolated", "[report]") {
    const Headline headline = valve::report::headline(valve::samples::steady_curve(), 4.0);
    // The margin of the sample is linear in speed, so that interpolation is exact up to rounding.
    CHECK_THAT(*figure(headline, Quantity::balance_negative_from).value, WithinRel(2.45, 1e-12));
}

TEST_CASE("a margin that stays positive never turns negative", "[report]") {
    valve::damper::Curve curve = valve::samples::steady_curve();
    for (valve::damper::SteadyPoint& point : curve.points)
        if (point.balance_margin) point.balance_margin = 1e5;
    const Headline headline = valve::report::headline(curve, 4.0);
    CHECK_FALSE(figure(headline, Quantity::balance_negative_from).value);
    CHECK_FALSE(headline.failed());
}

TEST_CASE("what was not solved says so in its figures", "[report]") {
    valve::damper::Curve curve = valve::samples::steady_curve();
    for (valve::damper::SteadyPoint& point : curve.points)
        if (point.speed == 3.0) point.error = "beyond the end of the lift curve";
    curve.void_onset.error = "broke off";
    curve.void_onset.rebound = 1.0;
    const Headline headline = valve::report::headline(curve, 4.0);
    CHECK(headline.failed());
    CHECK(figure(headline, Quantity::damping_force, 3.0).error == "beyond the end of the lift curve");
    CHECK(figure(headline, Quantity::damping_force, 1.0).error.empty());
    CHECK(figure(headline, Quantity::void_onset_rebound).error.empty());
    CHECK(figure(headline, Quantity::void_onset_compression).error == "broke off");
    CHECK(value_cell(figure(headline, Quantity::void_onset_compression)) == "unsolved");
}

TEST_CASE("figures read as words", "[report]") {
    const Figure onset{Quantity::void_onset_rebound, std::nullopt, 1.3, ""};
    CHECK(words(onset) == "voids on rebound");
    CHECK(value_words(onset, 4.0) == "from 1.30 m/s");
    CHECK(value_words({Quantity::void_onset_rebound, std::nullopt, std::nullopt, ""}, 4.0) ==
          "none up to 4 m/s");
    const Figure deficit{Quantity::refill_deficit, -1.0, 1.234e5, ""};
    CHECK(words(deficit) == "refill deficit at 1 m/s");
    CHECK(value_words(deficit, 4.0) == "1.23 bar");
    CHECK(words({Quantity::damping_force, -0.1, -60.0, ""}) == "damping force on rebound at 0.1 m/s");
    CHECK(value_cell({Quantity::damping_force, -0.1, -60.4, ""}) == "-60");
}

TEST_CASE("every quantity has a key of its own that names its unit", "[report]") {
    const Headline headline = valve::report::headline(valve::samples::steady_curve(), 4.0);
    const Json figures = json(headline);
    REQUIRE(figures.size() == headline.figures.size());
    for (std::size_t i = 0; i < figures.size(); ++i) {
        CHECK(figures[i].at("quantity") == key(headline.figures[i].quantity));
        const std::string name(key(headline.figures[i].quantity));
        const std::string_view trade = unit(headline.figures[i].quantity);
        const std::string ending = trade == "bar" ? "_Pa" : trade == "N" ? "_N" : "_m_s";
        CHECK(name.substr(name.size() - ending.size()) == ending);
    }
}
