#include <support/catch.hpp>
#include <valve/damper/sag.hpp>
#include <valve/report/ride_fields.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/figure_table.hpp>
#include <valve/study/headline.hpp>

#include <algorithm>
#include <set>
#include <string>
#include <variant>

using namespace valve;
using namespace valve::study;

namespace {

setup::Reading demo(const std::string& name, const std::vector<setup::Override>& overrides = {}) {
    return setup::read(
        setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/" + name + ".yaml", overrides));
}

/// The demo's pebble, cut short.
const RideEvent& pebble() {
    static const RideEvent event = [] {
        NamedEvent named = *RideEvent::load(std::string(VALVE_SOURCE_DIR) + "/stacks/events/pebble.yaml");
        named.event.duration = 0.2;
        return RideEvent(named);
    }();
    return event;
}

FigureRequest over(Quantity quantity, const RideEvent& event) {
    FigureRequest request{quantity};
    request.event = event;
    return request;
}

// Linear plates, which are the quicker ones.
damper::LiftCache& lifts() {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return cache;
}

} // namespace

TEST_CASE("every figure has one name, and its key ends in the unit of its value", "[study][figure]") {
    std::set<std::string_view> names;
    for (const FigureKind& kind : figure_kinds()) {
        CHECK(names.insert(kind.name()).second);
        CHECK(kind.key == std::string(kind.name()) + std::string(scale(kind.measure).suffix));
        CHECK(&kind_named(kind.name()) == &kind);
        CHECK(&kind_named(kind.key) == &kind);
        CHECK(&kind_of(kind.quantity) == &kind);
        CHECK_FALSE(kind.words.empty());
        CHECK((!kind.is_onset || kind.measure == Measure::speed));
    }
    CHECK_THROWS_WITH(kind_named("damping_forse"),
                      contains_text("did you mean") && contains_text("damping_force"));
}

TEST_CASE("a figure is asked for with what it belongs to, and with nothing else", "[study][figure]") {
    CHECK_NOTHROW(check({Quantity::damping_force, 3.0}));
    CHECK_NOTHROW(check({Quantity::damping_force, 3.0, 0.9}));
    CHECK_NOTHROW(check({Quantity::support_force, std::nullopt, 1.0}));
    CHECK_THROWS_WITH(check({Quantity::damping_force}), contains_text("at which rod speed"));
    CHECK_THROWS_WITH(check({Quantity::rider_sag, 1.0}), contains_text("belongs to no rod speed"));
    CHECK_THROWS_WITH(check({Quantity::balance_margin, -1.0}), contains_text("above 0"));
    CHECK_THROWS_WITH(check({Quantity::refill_deficit, 1.0}), contains_text("below 0"));
    CHECK_THROWS_WITH(check({Quantity::support_force}), contains_text("part of the travel"));
    CHECK_THROWS_WITH(check({Quantity::support_force, std::nullopt, 1.1}), contains_text("100 %"));
    CHECK_THROWS_WITH(check({Quantity::static_force, std::nullopt, 0.5}), contains_text("no part"));
    const auto at_frequency = [](double frequency) {
        return FigureRequest{Quantity::dead_travel_rebound, std::nullopt, std::nullopt, frequency};
    };
    CHECK_NOTHROW(check(at_frequency(500.0)));
    CHECK_THROWS_WITH(check(at_frequency(501.0)), contains_text("500"));
    CHECK_THROWS_WITH(check({Quantity::peak_travel}), contains_text("over which event"));
    CHECK_NOTHROW(check(over(Quantity::peak_travel, pebble())));
    CHECK_THROWS_WITH(check(over(Quantity::static_force, pebble())), contains_text("belongs to no event"));
}

TEST_CASE("figures of a ride are the metrics that a ride tells, under their names", "[study][figure][ride]") {
    const setup::Reading fork = demo("rally-fork");
    RideQuestion question;
    question.sides.push_back({*fork.unit, std::nullopt, *fork.vehicle});
    question.events = {pebble()->event};
    const RideFigures ride = ride_study(question, lifts()).front();
    REQUIRE_FALSE(ride.error);
    NamedEvent cut_off = *pebble();
    cut_off.event.duration = 0.02; // the wheel meets nothing
    const RideEvent nothing(cut_off);
    question.events = {nothing->event};
    const RideFigures level = ride_study(question, lifts()).front();
    REQUIRE_FALSE(level.ride.begin);
    std::size_t rides = 0;
    std::size_t none = 0;
    Evaluation of(fork, {}, lifts());
    for (const FigureKind& kind : figure_kinds()) {
        if (kind.event == Asked::never) continue;
        ++rides;
        INFO(kind.key);
        const auto fields = report::ride_fields();
        std::string_view key = kind.key; // one that cycles have as well is told apart by its name
        if (key.starts_with("ride_")) key.remove_prefix(5);
        const auto field =
            std::find_if(fields.begin(), fields.end(), [&](const auto& one) { return one.key == key; });
        REQUIRE(field != fields.end());
        const report::Value told = field->value(ride);
        const Figure figure = evaluate(of, over(kind.quantity, pebble()));
        if (std::holds_alternative<std::monostate>(told)) {
            CHECK_FALSE(figure.value);
            CHECK(figure.error.empty() == !kind.if_none.empty());
        } else {
            CHECK(figure.value == std::get<double>(told));
        }
        if (kind.if_none != "nothing met") continue;
        ++none;
        const Figure unmet = evaluate(of, over(kind.quantity, nothing));
        CHECK_FALSE(unmet.value);
        CHECK(unmet.error.empty());
        CHECK(std::holds_alternative<std::monostate>(field->value(level)));
    }
    CHECK(rides > 20);
    CHECK(none == 8); // means, shares and harshness
    CHECK(number(evaluate(of, over(Quantity::closing_speed, pebble())), 4.0) == 0.0); // it does not bottom
}

TEST_CASE("dead travel over a ride says how many reversals it leaves out", "[study][figure][ride]") {
    const setup::Reading fork = demo("rally-fork");
    Evaluation of(fork, {}, lifts());
    const RideFigures& ride = of.ride(pebble());
    const Figure in = evaluate(of, over(Quantity::ride_dead_travel_compression, pebble()));
    const Figure out = evaluate(of, over(Quantity::ride_dead_travel_rebound, pebble()));
    CHECK(in.reversals.count == ride.compression.count);
    CHECK(in.reversals.not_back == ride.compression.not_back);
    CHECK(out.reversals.count == ride.rebound.count);
    CHECK(out.reversals.not_back == ride.rebound.not_back);
    CHECK(in.reversals.count + out.reversals.count > 0);
    CHECK(evaluate(of, over(Quantity::peak_travel, pebble())).reversals.count == 0);
}

TEST_CASE("a table is sorted by what figures count as", "[study][figure]") {
    const auto order = [](Quantity quantity, const std::vector<std::optional<double>>& values) {
        FigureTable table;
        for (std::size_t i = 0; i < values.size(); ++i) {
            table.rows.push_back({i, "", "", ""});
            table.rows.back().figures = {{quantity, std::nullopt, values[i], ""}};
            table.rows.back().lacks = {""};
        }
        study::sort(table, 0, false);
        std::vector<std::size_t> rows;
        for (const FigureTable::Row& row : table.rows)
            rows.push_back(row.index);
        return rows;
    };
    using Order = std::vector<std::size_t>;
    CHECK(order(Quantity::peak_travel, {0.2, 0.1}) == Order{1, 0});
    CHECK(order(Quantity::closing_speed, {0.5, std::nullopt, 0.2}) == Order{1, 2, 0});      // not met: 0
    CHECK(order(Quantity::void_onset_rebound, {0.5, std::nullopt, 0.2}) == Order{2, 0, 1}); // beyond the top
}

TEST_CASE("a ride over the same event is ridden once, and over another file's like event its own",
          "[study][figure][ride]") {
    const setup::Reading fork = demo("rally-fork");
    Evaluation of(fork, {}, lifts());
    const RideFigures* first = &of.ride(pebble());
    CHECK(&of.ride(RideEvent(*pebble())) == first); // equal, not the same
    CHECK(RideEvent(*pebble()) == pebble());
    CHECK_FALSE(RideEvent() == pebble());
    NamedEvent other = *pebble();
    other.file = "other.yaml";
    CHECK_FALSE(RideEvent(other) == pebble());
}

TEST_CASE("what cannot be ridden is refused or says why", "[study][figure][ride]") {
    const setup::Reading no_wheel = demo("rally-fork", {{"vehicle", "null"}});
    Evaluation of(no_wheel, {}, lifts());
    CHECK_THROWS_WITH(evaluate(of, over(Quantity::peak_travel, pebble())), contains_text("vehicle: missing"));
    const setup::Reading no_load = demo("rally-fork", {{"support.load", "null"}});
    Evaluation light(no_load, {}, lifts());
    CHECK_THROWS_WITH(evaluate(light, over(Quantity::peak_travel, pebble())), contains_text("support.load"));

    const setup::Reading fork = demo("rally-fork");
    Evaluation rides(fork, {}, lifts());
    const Figure packing = evaluate(rides, over(Quantity::packing, pebble()));
    CHECK_FALSE(packing.value);
    CHECK(packing.error.find("no row of bumps") != std::string::npos);
    const setup::Reading soft =
        demo("rally-fork", {{"support.spring.rate", "0.05 N/mm"}, {"support.leg", "null"}});
    Evaluation flat(soft, {}, lifts());
    const Figure none = evaluate(flat, over(Quantity::peak_travel, pebble()));
    CHECK((none.value.has_value() || none.error.find("Pebble") != std::string::npos));
}

TEST_CASE("one figure at a time is what the damper says at that speed and travel", "[study][figure]") {
    const setup::Reading reading = demo("rally-fork");
    const damper::SetUp& unit = *reading.unit;
    const damper::Model model = lifts().model(unit);
    const auto value = [&](const FigureRequest& request) {
        return evaluate(unit, request, {}, lifts()).value;
    };
    CHECK(value({kind_named("damping_force").quantity, 3.0}) ==
          damper::steady_point(model, 3.0, 0.5 * unit.cartridge.travel).damping_force);
    CHECK(value({Quantity::damping_force, -1.0, 0.9}) ==
          damper::steady_point(model, -1.0, 0.9 * unit.cartridge.travel).damping_force);
    CHECK(value({Quantity::refill_deficit, -0.7}) ==
          damper::steady_point(model, -0.7, 0.5 * unit.cartridge.travel).refill_deficit);
    CHECK(value({Quantity::void_onset_rebound}) ==
          damper::find_void_onset(model, 0.5 * unit.cartridge.travel, 4.0).rebound);

    const damper::SupportLaw law(unit);
    CHECK(value({Quantity::support_force, std::nullopt, 0.25}) == law.at(0.25 * law.travel()).force);
    CHECK(value({Quantity::friction}) == law.friction());
    CHECK(value({Quantity::breakaway}) == law.breakaway());
    // 18 N on a piston of 36 mm, felt on a rod of 12 mm: F_f A_r/A_s.
    CHECK_THAT(*value({Quantity::felt_reservoir_friction}), WithinRel(18.0 * 144.0 / 1296.0, 1e-12));
    const double hit = usual_hit * law.at(law.travel()).energy;
    CHECK(value({Quantity::hit_travel}) == damper::travel_used(law, hit, law.friction()).travel);
    // What a hit has left at full travel is what nothing on the way there took: work by the trapezoid rule.
    double taken = 0.0;
    constexpr int parts = 3000;
    for (int i = 0; i < parts; ++i)
        taken +=
            law.travel() / parts *
            (0.5 * (law.at(i * law.travel() / parts).force + law.at((i + 1) * law.travel() / parts).force) +
             law.friction());
    for (const double beyond : {-10.0, 100.0}) {
        EvaluateOptions hard;
        hard.hit = taken + beyond;
        const Figure used = evaluate(unit, {Quantity::hit_travel}, hard, lifts());
        CHECK(bool(used.energy_left) == (beyond > 0.0));
        if (used.energy_left) CHECK_THAT(*used.energy_left, WithinRel(beyond, 1e-3));
    }
    CHECK_THAT(*value({Quantity::heavy_load_travel}), WithinRel(near_end * law.travel(), 1e-9));
    CHECK(*evaluate(unit, {Quantity::heavy_load_travel}, {.heavy_load = 1000.0}, lifts()).value <
          *value({Quantity::heavy_load_travel}));
}

TEST_CASE("a cycle without room is an error of its figure and of no file", "[study][figure]") {
    const setup::Reading fork = demo("rally-fork");
    const damper::Bounds room = room_for_cycles(*fork.unit); // 60 mm in 300 mm
    CHECK_THAT(room.low, Catch::Matchers::WithinRel(0.03, 1e-12));
    CHECK_THAT(room.high, Catch::Matchers::WithinRel(0.27, 1e-12));
    FigureRequest request{Quantity::dead_travel_rebound};
    request.frequency = 4.0;
    const Figure without = evaluate(*fork.unit, request, {.travel = 0.01}, lifts());
    CHECK_FALSE(without.value);
    CHECK_THAT(without.error, contains_text("from -20 to 40 mm leaves the damper's travel"));
    CHECK(evaluate(*fork.unit, request, {.travel = 0.03}, lifts()).value);
}

TEST_CASE("the speed where the balance margin turns negative is a root of the margin", "[study][figure]") {
    const setup::Reading reading =
        demo("rally-fork", {{"valves.piston.compression.float.travel", "0.02 mm"},
                            {"valves.piston.compression.shims", "[12 * 21 x 0.15]"}});
    const auto from = [&](double top_speed) {
        return evaluate(*reading.unit, {Quantity::balance_negative_from}, {.top_speed = top_speed}, lifts())
            .value;
    };
    const std::optional<double> speed = from(6.0);
    REQUIRE(speed);
    Evaluation of(*reading.unit, {}, lifts());
    CHECK(*of.point(*speed * (1.0 - 1e-9)).balance_margin >= 0.0);
    CHECK(*of.point(*speed * (1.0 + 1e-9)).balance_margin < 0.0);
    // In the first movement the preload of the mid-valve outdoes the base by a trifle, which is no onset.
    CHECK(*of.point(1e-3).balance_margin < 0.0);
    // Whatever the top speed, as long as it is reached.
    CHECK_THAT(*from(*speed + 0.5), WithinRel(*speed, 1e-10));
    CHECK_FALSE(from(0.9 * *speed));
}

TEST_CASE("what a set-up does not say is refused, what cannot be solved says so", "[study][figure]") {
    const setup::Reading no_load = demo("rally-fork", {{"support.load", "null"}});
    CHECK_THROWS_WITH(evaluate(*no_load.unit, {Quantity::rider_sag}, {}, lifts()),
                      contains_text("support.load"));
    const setup::Reading bare = demo("rally-fork", {{"support", "null"}});
    CHECK_THROWS_AS(evaluate(*bare.unit, {Quantity::friction}, {}, lifts()), InputError);

    const Figure beyond = evaluate(*bare.unit, {Quantity::damping_force, 99.0}, {}, lifts());
    CHECK_FALSE(beyond.value);
    CHECK_FALSE(beyond.error.empty());
    Headline headline;
    CHECK_FALSE(headline.failed());
    headline.figures.push_back(beyond);
    CHECK(headline.failed());
}

TEST_CASE("a headline holds what all set-ups can say", "[study][figure]") {
    const setup::Reading fork = demo("rally-fork");
    const setup::Reading cups = demo("rally-fork-cup");
    const setup::Reading shock = demo("rally-shock");
    const HeadlineParts two_forks = parts_of({&fork, &cups});
    CHECK((two_forks.margin && two_forks.end_cups && two_forks.stress && two_forks.support && two_forks.sag));
    const HeadlineParts mixed = parts_of({&fork, &shock});
    CHECK_FALSE(mixed.stress); // the shock's strips state no limit
    const auto holds = [](const HeadlineParts& parts, Quantity quantity) {
        const std::vector<FigureRequest> requests = headline_requests(parts);
        for (const FigureRequest& request : requests)
            CHECK_NOTHROW(check(request));
        return std::any_of(requests.begin(), requests.end(),
                           [&](const FigureRequest& request) { return request.quantity == quantity; });
    };
    CHECK(holds(two_forks, Quantity::end_force));
    CHECK(holds(two_forks, Quantity::balance_margin));
    CHECK_FALSE(holds(two_forks, Quantity::headroom_R));
    CHECK_FALSE(holds(mixed, Quantity::shims_set_from));
}

TEST_CASE("a unit with gas behind C is not judged by its balance margin", "[study][figure]") {
    const setup::Reading shock = demo("rally-shock");
    const std::vector<FigureRequest> requests = headline_requests(parts_of({&shock}));
    const auto holds = [&](Quantity quantity) {
        return std::any_of(requests.begin(), requests.end(),
                           [&](const FigureRequest& request) { return request.quantity == quantity; });
    };
    CHECK_FALSE(holds(Quantity::balance_negative_from));
    CHECK_FALSE(holds(Quantity::balance_margin));
    CHECK(holds(Quantity::headroom_R));
}
