#include <study/headlines.hpp>
#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/cut_off.hpp>
#include <valve/report/figure_words.hpp>

#include <algorithm>

using namespace valve;
using namespace valve::report;
using samples::figure;
using samples::headline;
using study::Quantity;

namespace {

const setup::Difference rate{"valves.base.refill.float.rate", "60 N/mm", "0.8 N/mm"};
const setup::Difference shims{"valves.base.refill.shims", "[2 * 26 x 0.35]", "[26 x 0.20]"};

/// A variant whose coil does it all.
study::Comparison by_hand() {
    const study::Headline from = headline(1.2e5, 1.3);
    const study::Headline to = headline(0.1e5);
    study::Comparison comparison;
    comparison.setups.resize(2);
    comparison.setups[0].file = "fork.yaml";
    comparison.setups[0].headline = from;
    comparison.setups[0].reading.unit.emplace();
    comparison.setups[1].file = "soft.yaml";
    comparison.setups[1].headline = to;
    comparison.setups[1].reading.note = "A light coil.";
    comparison.variants.push_back(
        study::attribute(from, to, {rate, shims}, {{rate.key, from, {}}, {shims.key, to, {}}}));
    return comparison;
}

} // namespace

TEST_CASE("figures read as words", "[report]") {
    const study::Figure onset{Quantity::void_onset_rebound, std::nullopt, 1.3, ""};
    CHECK(words(onset) == "voids on rebound");
    CHECK(value_words(onset, 4.0) == "from 1.30 m/s");
    CHECK(value_words({Quantity::void_onset_rebound, std::nullopt, std::nullopt, ""}, 4.0) ==
          "none up to 4 m/s");
    CHECK(value_words({Quantity::void_onset_rebound, std::nullopt, 0.0, ""}, 4.0) ==
          "from the first movement");
    const study::Figure deficit{Quantity::refill_deficit, -1.0, 1.234e5, ""};
    CHECK(words(deficit) == "refill deficit at 1 m/s");
    CHECK(value_words(deficit, 4.0) == "1.23 bar");
    const study::Figure force{Quantity::damping_force, -0.1, -60.4, ""};
    CHECK(words(force) == "damping force on rebound at 0.1 m/s");
    CHECK(value_cell(force) == "-60");
    CHECK(step_words(Quantity::damping_force, 62.4) == "+62 N");
    CHECK(step_words(Quantity::balance_margin, -0.125e5) == "-0.12 bar");
    CHECK(value_cell({Quantity::damping_force, 1.0, std::nullopt, "broke off"}) == "unsolved");
}

TEST_CASE("the answer is what moved, the change behind it in words of the bench, and its key", "[report]") {
    const std::vector<std::string> said = sentences(by_hand().variants.front(), 4.0);
    REQUIRE(said.size() == 1);
    CHECK(said[0] ==
          "Voids on rebound from 1.30 m/s → none up to 4 m/s; refill deficit at 1 m/s 1.20 bar → 0.10 "
          "bar, because of the check plate's coil, 60 → 0.8 N/mm (base.refill.float.rate).");
    const std::string unchanged = unchanged_line(by_hand().variants.front(), 4.0);
    CHECK_THAT(unchanged, contains_text("voids on compression (none up to 4 m/s)") &&
                              contains_text("refill deficit at 0.3, 2 and 3 m/s") &&
                              contains_text("damping force on compression at 0.1, 1 and 3 m/s") &&
                              contains_text("damping force on rebound at 0.1, 1 and 3 m/s"));
}

TEST_CASE("figures of one family make one clause, told at 1 m/s", "[report]") {
    const study::Headline from = headline();
    study::Headline to = from;
    for (study::Figure& one : to.figures)
        if (one.quantity == Quantity::damping_force && *one.speed > 0.0) *one.value *= 2.0;
    const study::Variant variant = study::attribute(from, to, {rate}, {{rate.key, from, {}}});
    REQUIRE(sentences(variant, 4.0).size() == 1);
    CHECK_THAT(
        sentences(variant, 4.0).front(),
        contains_text("Damping force on compression at 1 m/s 100 N → 200 N (also at 0.1 and 3 m/s), "));
}

TEST_CASE("keys that each do part of it are named with how they do it, and with their change once",
          "[report]") {
    const study::Headline from = headline(1.2e5);
    study::Headline to = headline(0.2e5);
    const auto alone = [&](const study::Headline& undone) {
        return study::attribute(from, to, {rate, shims}, {{rate.key, undone, to}, {shims.key, undone, to}});
    };
    CHECK_THAT(
        sentences(alone(to), 4.0).front(),
        contains_text("because of the check plate's coil, 60 → 0.8 N/mm (base.refill.float.rate) and "
                      "the check plate's shims, 2 * 26 x 0.35 → 26 x 0.20 (base.refill.shims), each of "
                      "which does part of it alone."));
    figure(to, Quantity::damping_force, 1.0).value = 150.0;
    study::Headline half = to;
    figure(half, Quantity::refill_deficit, -1.0).value = 0.6e5;
    const study::Headline kept = half; // in force
    figure(half, Quantity::damping_force, 1.0).value = 100.0;
    const std::vector<std::string> said = sentences(
        study::attribute(from, to, {rate, shims}, {{rate.key, half, to}, {shims.key, kept, to}}), 4.0);
    REQUIRE(said.size() == 2); // the deficit by both, the force by one of them
    CHECK_THAT(said[0], contains_text("60 → 0.8 N/mm"));
    CHECK_THAT(said[1], contains_text("because of the check plate's coil"));
    CHECK(said[1].find("60 → 0.8") == std::string::npos);
}

TEST_CASE("effects that cancel are told with their parts", "[report]") {
    const auto with_force = [](double force) {
        study::Headline result = headline();
        figure(result, Quantity::damping_force, 1.0).value = force;
        return result;
    };
    const std::vector<study::Trial> trials{{rate.key, with_force(305.0), {}},
                                           {shims.key, with_force(161.0), {}}};
    const study::Variant left = study::attribute(with_force(226.0), with_force(240.0), {rate, shims}, trials);
    CHECK(
        sentences(left, 4.0) ==
        std::vector<std::string>{
            "Damping force on compression at 1 m/s 226 N → 240 N, what is left of -65 N by the check plate's "
            "coil, 60 → 0.8 N/mm (base.refill.float.rate) and +79 N by the check plate's shims, 2 * 26 x "
            "0.35 "
            "→ 26 x 0.20 (base.refill.shims)."});
    const study::Variant none = study::attribute(with_force(240.0), with_force(240.0), {rate, shims}, trials);
    CHECK(sentences(none, 4.0).empty());
    REQUIRE(balanced_sentences(none, 4.0).size() == 1);
    CHECK_THAT(balanced_sentences(none, 4.0).front(),
               contains_text("Damping force on compression at 1 m/s stays at 240 N: -65 N by "));
}

TEST_CASE("a comparison keeps the contract in JSON", "[report]") {
    const study::Comparison comparison = by_hand();
    const Json object = json(comparison);
    REQUIRE(object.at("setups").size() == 2);
    for (const char* key : {"title", "file", "figures"})
        CHECK(object.at("setups").at(0).contains(key));
    REQUIRE(object.at("changes").size() == 2);
    const Json& change = object.at("changes").at(0);
    CHECK(change.at("file") == "soft.yaml");
    CHECK(change.at("quantity") == "void_onset_rebound_m_s");
    CHECK(change.at("speed_m_s").is_null());
    CHECK(change.at("from") == 1.3);
    CHECK(change.at("to").is_null());
    CHECK(change.at("because") == rate.key);
    CHECK(change.at("cause") == "one_key");
    CHECK(change.at("undone").at(0).at("effect") == 4.0 - 1.3);
    CHECK(object.at("changed_keys").at(0).at("words") == "the check plate's coil");
    CHECK(object.at("rule") == rule_of_causes());
    const std::size_t count = comparison.setups[0].headline.figures.size();
    CHECK(points(comparison).size() == 2 * count);
    const Json figures = object.at("setups").at(0).at("figures");
    for (std::size_t i = 0; i < count; ++i)
        CHECK(figures.at(i).at("quantity") ==
              study::kind_of(comparison.setups[0].headline.figures[i].quantity).key);
}

TEST_CASE("dead travel that hangs on a dip and valves that swing on a ride are told", "[report]") {
    study::Comparison comparison = by_hand();
    CHECK(cautions(comparison).empty());
    study::Figure dead{Quantity::dead_travel_rebound, std::nullopt, 1.97e-3, "", std::nullopt, 4.0};
    dead.but_for_dips = 0.38e-3;
    CHECK(value_words(dead, 4.0) == "1.97 mm (0.38 but for a dip)");
    comparison.setups[1].headline.figures.push_back(dead);
    REQUIRE(cautions(comparison).size() == 1);
    CHECK(cautions(comparison).front() == caution_of_dips);
    CHECK(json(comparison).at("setups").at(1).at("figures").back().at("but_for_dips_m") == 0.38e-3);

    study::NamedEvent ledge;
    ledge.file = "ledge.yaml";
    ledge.event.title = "Ledge";
    study::Figure harsh{Quantity::rms_acceleration, std::nullopt, 4.0, ""};
    harsh.event = study::RideEvent(ledge);
    comparison.setups[0].headline.figures.push_back(harsh);
    CHECK(swing_sentences(comparison.setups[0].headline.figures).empty());
    harsh.swings = true;
    comparison.setups[0].headline.figures.push_back(harsh);
    const std::vector<std::string> said = cautions(comparison);
    CHECK(std::any_of(said.begin(), said.end(), [](const std::string& one) {
        return one.starts_with("A: Over Ledge valves swing by themselves");
    }));
}

TEST_CASE("dead travel over a ride is told with how often the damping never came back", "[report]") {
    study::Figure dead{Quantity::ride_dead_travel_compression, std::nullopt, 9.18e-3, ""};
    dead.reversals = {5, 0};
    CHECK(value_words(dead, 4.0) == "9.18 mm");
    CHECK(value_cell(dead) == "9.18");
    dead.reversals.not_back = 2;
    CHECK(value_words(dead, 4.0) == "9.18 mm (not back at 2 of 5 reversals)");
    CHECK(value_cell(dead) == "9.18, 2 not back");
    study::Comparison comparison = by_hand();
    comparison.setups[1].headline.figures.push_back(dead);
    const Json figure = json(comparison).at("setups").at(1).at("figures").back();
    CHECK(figure.at("reversals") == 5);
    CHECK(figure.at("not_back") == 2);
    dead.value.reset();
    dead.reversals = {1, 1};
    CHECK(value_words(dead, 4.0) == "none (not back at 1 of 1 reversal)");
    CHECK(value_cell(dead) == "-, 1 not back");
    CHECK(json(comparison).at("setups").at(0).at("figures").at(0).at("not_back").is_null());
}

TEST_CASE("what counts from when a wheel meets an event is told as none where it meets nothing", "[report]") {
    const study::Figure harsh{Quantity::rms_acceleration, std::nullopt, std::nullopt, ""};
    CHECK(value_words(harsh, 4.0) == "nothing met");
    CHECK(value_cell(harsh) == "-");
}

TEST_CASE("the text of a comparison leads with the answer and counts what stayed", "[report]") {
    const std::string all = text(by_hand());
    CHECK(all.rfind("A  fork.yaml: \nB  soft.yaml: \n   Voids on rebound from 1.30 m/s", 0) == 0);
    CHECK(all.find("Voids on rebound") < all.find("A light coil."));
    CHECK_THAT(all, contains_text("1.30  none") && contains_text(" figures stayed within 1 %; --unchanged"));
    CHECK(all.find("Unchanged within 1 %: ") == std::string::npos);
    CHECK_THAT(text(by_hand(), true), contains_text("Unchanged within 1 %: "));
}

TEST_CASE("figures over an event that the run ends short of are said to say nothing", "[report]") {
    motion::Event edge;
    edge.title = "Edge";
    edge.kind = motion::EventKind::square_edge;
    edge.height = 40e-3;
    edge.speed = 10.0;
    edge.at = 5.0;
    edge.duration = 0.1;
    study::FigureRequest request;
    request.quantity = Quantity::mean_travel;
    const auto said = [&] {
        request.event = study::RideEvent(study::NamedEvent{"edge.yaml", edge});
        return cut_off_sentences(std::vector<study::FigureRequest>{request});
    };
    REQUIRE(said().size() == 2);
    CHECK(said()[0] == "Over Edge: the run ends 1 m along, short of the edge at 5 m.");
    CHECK(said()[1] ==
          "Over Edge: where a wheel meets nothing within the run, there are no means, shares and "
          "harshness.");
    edge.duration = 0.6;
    CHECK(said().empty());
}
