#include <setup/written.hpp>
#include <support/catch.hpp>
#include <valve/study/choose.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::Chosen;
using study::Stock;
using study::SupportChoice;

namespace {

constexpr damper::SupportGoal goal{.sag = 0.08, .free_sag = 0.045, .end_force = 8000.0};

SupportChoice chosen(const Stock& stock, const damper::SupportGoal& asked = goal,
                     const std::vector<setup::Override>& overrides = {}) {
    const damper::SetUp unit = *setup::read(samples::fork_document(overrides)).unit;
    return study::choose_support(unit, asked, damper::buildable(unit), stock);
}

double rate(const SupportChoice& choice) {
    return choice.choice.setup.support->spring->rate;
}

} // namespace

TEST_CASE("without stock the choice is free", "[study][choose]") {
    const damper::SetUp unit = *setup::read(samples::fork_document()).unit;
    const damper::Choice free = damper::choose(unit, goal, damper::buildable(unit));
    CHECK(chosen({}).choice.setup == free.setup);
}

TEST_CASE("a spring is chosen among those at hand, whichever comes nearest", "[study][choose]") {
    const damper::SupportGoal sag{.sag = 0.08};
    const double ideal = rate(chosen({}, sag));
    const Stock stock{.rates = {ideal - 300.0, ideal + 100.0, ideal + 500.0}};
    const SupportChoice choice = chosen(stock, sag);
    CHECK(rate(choice) == ideal + 100.0);
    CHECK(choice.choice.at_limit.empty());
    CHECK(choice.limits.rate.low == ideal - 300.0);
    CHECK(std::abs(*choice.choice.reached.sag - 0.08) > 1e-4); // it is not quite that spring

    // With the preload free, any of the springs has the sag: the free sag decides.
    const damper::SupportGoal sags{.sag = 0.08, .free_sag = 0.045};
    const double both = rate(chosen({}, sags));
    const SupportChoice preloaded = chosen({.rates = {both + 400.0, both - 150.0}}, sags);
    CHECK(rate(preloaded) == both - 150.0);
    CHECK_THAT(*preloaded.choice.reached.sag, WithinRel(0.08, 1e-9));

    const SupportChoice too_soft = chosen({.rates = {ideal - 900.0, ideal - 500.0}}, sag);
    CHECK(rate(too_soft) == ideal - 500.0);
    CHECK(too_soft.choice.at_limit == std::vector{Chosen::rate});
}

TEST_CASE("springs and fillings are chosen together", "[study][choose]") {
    const SupportChoice free = chosen({});
    const double oil = free.choice.setup.support->leg->oil_volume;
    const SupportChoice choice =
        chosen({.rates = {rate(free) - 100.0, rate(free) + 900.0}, .fills = {oil - 20e-6, oil + 2e-6}});
    CHECK(rate(choice) == rate(free) - 100.0);
    CHECK(choice.choice.setup.support->leg->oil_volume == oil + 2e-6);
    CHECK(choice.choice.chosen == free.choice.chosen);
    // Oil at hand that nothing asks for changes nothing.
    const damper::SupportGoal sag{.sag = 0.08};
    CHECK(chosen({.fills = {300e-6, 500e-6}}, sag).choice.setup.support->leg->oil_volume == 365e-6);
    CHECK_THROWS_AS(chosen({.rates = {0.0, 5000.0}}), std::invalid_argument);
}

TEST_CASE("what was chosen is edited by key, as it can be bought and set", "[study][choose]") {
    const std::vector<setup::Override> with_level{
        {"support.leg.oil", "null"},
        {"support.leg.column", "{tube: 48 mm, inside: 12 mm, length: 460 mm, spring_volume: 75 ml, "
                               "spring_length: 440 mm}"},
        {"support.leg.level", "{depth: 440 mm, fork: extended, spring: in}"},
        {"support.spring.second", "{rate: 6 N/mm, from: 200 mm}"}};
    const setup::Document document = samples::fork_document(with_level);
    const SupportChoice choice = chosen({}, goal, with_level);
    const setup::Document edited = study::with_choice(document, choice);
    const damper::Support then = *setup::read(edited).unit->support;
    const damper::Support& exact = *choice.choice.setup.support;
    CHECK_THAT(then.spring->rate, WithinAbs(exact.spring->rate, 5.0 + 1e-6));
    CHECK_THAT(then.spring->second->rate, WithinAbs(exact.spring->second->rate, 5.0 + 1e-6));
    CHECK_THAT(then.spring->preload, WithinAbs(exact.spring->preload, 0.05e-3 + 1e-9));
    CHECK_THAT(then.leg->oil_volume, WithinAbs(exact.leg->oil_volume, 0.5e-6 + 1e-12));
    CHECK_FALSE(edited.get("support.leg.level"));
    CHECK(edited.get("support.spring.rate")->text.size() <= 9); // "5.12 N/mm"
    CHECK(edited.get("damper.bore")->text == "25 mm");
    // What was not asked for stays as it is written.
    const setup::Document spring_alone = study::with_choice(document, chosen({}, {.sag = 0.08}, with_level));
    CHECK(setup::differences(document, spring_alone).size() == 2); // both rates
}

TEST_CASE("a choice is written round and a part at hand as it is", "[study][choose]") {
    const setup::Document document = samples::fork_document();
    const auto text = [](const setup::Document& of, const char* key) { return of.get(key)->text; };
    const SupportChoice free = chosen({});
    const setup::Document round = study::with_choice(document, free);
    // No more digits than it is bought and set by, whatever the choice.
    for (const double force : {6000.0, 7000.0, 7500.0, 8000.0, 8500.0, 9000.0}) {
        CAPTURE(force);
        const setup::Document one =
            study::with_choice(document, chosen({}, {.sag = 0.08, .free_sag = 0.045, .end_force = force}));
        CHECK(text(one, "support.leg.oil").size() == 6);        // "364 ml"
        CHECK(text(one, "support.spring.rate").size() <= 9);    // "5.12 N/mm"
        CHECK(text(one, "support.spring.preload").size() <= 7); // "11.9 mm"
    }

    const double oil = *round.get("support.leg.oil")->number;
    const setup::Document picked =
        study::with_choice(document, chosen({.rates = {4.385e3}, .fills = {oil + 0.4e-6}}));
    CHECK(text(picked, "support.spring.rate") == "4.385 N/mm");
    CHECK_THAT(*picked.get("support.leg.oil")->number, WithinAbs(oil + 0.4e-6, 1e-15));

    // What may be had ends between two round values: not beyond.
    const damper::SetUp unit = *setup::read(document).unit;
    damper::Buildable limits = damper::buildable(unit);
    limits.rate = {4.0e3, 4.006e3};
    limits.preload = {6.06e-3, 6.5e-3};
    limits.oil = {200.7e-6, 210.6e-6};
    const auto within = [&](double sag, double free_sag, double force) {
        return study::with_choice(
            document,
            study::choose_support(unit, {.sag = sag, .free_sag = free_sag, .end_force = force}, limits));
    };
    const setup::Document soft = within(0.06, 0.02, 12000.0); // all that there is
    CHECK(text(soft, "support.spring.rate") == "4 N/mm");
    CHECK(text(soft, "support.leg.oil") == "210 ml");
    limits.preload = {1e-3, 6.06e-3};
    CHECK(text(within(0.06, 0.02, 12000.0), "support.spring.preload") == "6 mm");
    limits.preload = {6.06e-3, 6.08e-3}; // nothing round lies between
    CHECK(text(within(0.06, 0.02, 12000.0), "support.spring.preload") == "6.08 mm");
    limits.oil = {200.7e-6, 210.6e-6};
    CHECK(text(within(0.09, 0.05, 1000.0), "support.leg.oil") == "201 ml");
}

TEST_CASE("the least oil that is chosen is one that a file can say", "[study][choose]") {
    const setup::Document document = samples::fork_document();
    const SupportChoice dry = chosen({}, {.end_force = 10.0});
    REQUIRE(dry.choice.at_limit == std::vector{Chosen::oil});
    const setup::Document edited = study::with_choice(document, dry);
    CHECK(edited.get("support.leg.oil")->text == "1 ml");
    CHECK(setup::read(edited).unit->support->leg->oil_volume == 1e-6);
    // Whoever allows none is told by the file's own range.
    const damper::SetUp unit = *setup::read(document).unit;
    damper::Buildable none = damper::buildable(unit);
    none.oil.low = 0.0;
    CHECK_THROWS_WITH(study::with_choice(document, study::choose_support(unit, {.end_force = 10.0}, none)),
                      contains_text("'0 ml' is out of range"));
}
