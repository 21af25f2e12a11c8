#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/comparison.hpp>

#include <algorithm>

using namespace valve::report;
using valve::setup::Difference;

namespace {

Headline headline_of(double deficit_at_1, std::optional<double> onset = std::nullopt) {
    valve::damper::Curve curve = valve::samples::steady_curve();
    curve.void_onset.rebound = onset;
    for (valve::damper::SteadyPoint& point : curve.points)
        if (point.speed == -1.0) point.refill_deficit = deficit_at_1;
    return headline(curve, 4.0);
}

Difference difference(const std::string& key) {
    return {key, "1", "2"};
}

const Change& deficit_change(const Variant& variant) {
    const auto found = std::find_if(variant.changes.begin(), variant.changes.end(), [](const Change& change) {
        return change.to.quantity == Quantity::refill_deficit;
    });
    REQUIRE(found != variant.changes.end());
    return *found;
}

} // namespace

TEST_CASE("the key that takes back more than half of a change is its cause", "[report]") {
    const Variant variant =
        attribute(headline_of(1.2e5), headline_of(0.2e5), {difference("a"), difference("b")},
                  {{"a", headline_of(0.3e5), {}}, {"b", headline_of(1.0e5), {}}});
    const Change& change = deficit_change(variant);
    CHECK(change.cause == Cause::one_key);
    CHECK(change.because_words() == "b");
    CHECK_THAT(*change.shares[0].undone, WithinRel(0.1, 1e-12));
    CHECK_THAT(*change.shares[1].undone, WithinRel(0.8, 1e-12));
    CHECK(variant.changes.size() == 1);
}

TEST_CASE("where no key takes back half, those with a tenth act together, in the order of the file",
          "[report]") {
    const Variant variant = attribute(
        headline_of(1.2e5), headline_of(0.2e5), {difference("a"), difference("b"), difference("c")},
        {{"a", headline_of(0.4e5), {}}, {"b", headline_of(0.21e5), {}}, {"c", headline_of(0.6e5), {}}});
    CHECK(deficit_change(variant).cause == Cause::together);
    CHECK(deficit_change(variant).because_words() == "together: a, c");
}

TEST_CASE("keys that each do the same are found by applying them alone", "[report]") {
    const Headline from = headline_of(1.2e5);
    const Headline to = headline_of(0.2e5);
    const std::vector<Difference> keys{difference("a"), difference("b"), difference("c")};
    // Undoing any one leaves the others at work.
    const Variant unclear = attribute(from, to, keys, {{"a", to, {}}, {"b", to, {}}, {"c", to, {}}});
    CHECK(deficit_change(unclear).cause == Cause::unclear);
    CHECK(deficit_change(unclear).because_words() == "together: a, b, c");

    const Variant found = attribute(from, to, keys, {{"a", to, to}, {"b", to, from}, {"c", to, to}});
    CHECK(deficit_change(found).cause == Cause::overlapping);
    CHECK(deficit_change(found).because_words() == "together: a, c");
    CHECK(sentences(found, 4.0).front().find("because of a and c, each of which does part of it alone.") !=
          std::string::npos);
}

TEST_CASE("a key that cannot be undone alone has no share", "[report]") {
    const Variant variant =
        attribute(headline_of(1.2e5), headline_of(0.2e5), {difference("a"), difference("b")},
                  {{"a", std::nullopt, {}}, {"b", headline_of(1.1e5), {}}});
    const Change& change = deficit_change(variant);
    CHECK_FALSE(change.shares[0].undone);
    CHECK(change.because_words() == "b");
}

TEST_CASE("an onset that is not reached counts as the top speed", "[report]") {
    const Variant variant =
        attribute(headline_of(0.4e5, 1.0), headline_of(0.4e5), {difference("a"), difference("b")},
                  {{"a", headline_of(0.4e5, 3.7), {}}, {"b", headline_of(0.4e5, 1.6), {}}});
    REQUIRE(variant.changes.size() == 1);
    CHECK_THAT(*variant.changes[0].shares[0].undone, WithinRel(0.1, 1e-12)); // (4.0 - 3.7)/(4.0 - 1.0)
    CHECK_THAT(*variant.changes[0].shares[1].undone, WithinRel(0.8, 1e-12));
    CHECK(variant.changes[0].because_words() == "b");
}

TEST_CASE("an onset at the top speed that is lost has no share, rather than an infinite one", "[report]") {
    const Variant variant = attribute(headline_of(0.4e5, 4.0), headline_of(0.4e5), {difference("a")},
                                      {{"a", headline_of(0.4e5, 4.0), {}}});
    REQUIRE(variant.changes.size() == 1);
    CHECK_FALSE(variant.changes[0].shares[0].undone);
    CHECK(variant.changes[0].cause == Cause::unclear);
}

TEST_CASE("small differences are alike, an onset gained or lost is not", "[report]") {
    const auto force = [](double value) { return Figure{Quantity::damping_force, 1.0, value, ""}; };
    CHECK(alike(force(300.0), force(302.9), 4.0));
    CHECK_FALSE(alike(force(300.0), force(303.1), 4.0));
    CHECK(alike(force(5.0), force(5.9), 4.0));
    CHECK_FALSE(alike(force(5.0), force(6.1), 4.0));
    const auto deficit = [](double value) { return Figure{Quantity::refill_deficit, -1.0, value, ""}; };
    CHECK(alike(deficit(0.12e5), deficit(0.129e5), 4.0));
    CHECK_FALSE(alike(deficit(0.12e5), deficit(0.131e5), 4.0));
    const Figure none{Quantity::void_onset_rebound, std::nullopt, std::nullopt, ""};
    CHECK(alike(none, none, 4.0));
    CHECK_FALSE(alike({Quantity::void_onset_rebound, std::nullopt, 3.999, ""}, none, 4.0));
}

TEST_CASE("figures that are not solved are neither changed nor unchanged", "[report]") {
    valve::damper::Curve curve = valve::samples::steady_curve();
    for (valve::damper::SteadyPoint& point : curve.points)
        if (point.speed == 3.0) point.error = "beyond the end";
    const Headline from = headline_of(0.4e5);
    const Variant variant = attribute(from, headline(curve, 4.0), {difference("a")}, {{"a", from, {}}});
    CHECK(variant.changes.empty());
    for (const Figure& figure : variant.unchanged)
        CHECK(figure.speed != 3.0);
}

TEST_CASE("sentences lead with void onset, join what has one cause, and say what stayed", "[report]") {
    const Headline from = headline_of(1.2e5, 1.3);
    const Variant variant = attribute(from, headline_of(0.1e5), {difference("valves.base.refill.float.rate")},
                                      {{"valves.base.refill.float.rate", from, {}}});
    const std::vector<std::string> said = sentences(variant, 4.0);
    REQUIRE(said.size() == 1);
    CHECK(said[0] ==
          "Voids on rebound from 1.30 m/s → none up to 4 m/s; refill deficit at 1 m/s 1.20 bar → 0.10 "
          "bar, because of base.refill.float.rate.");
    const std::string unchanged = unchanged_line(variant, 4.0);
    CHECK(unchanged.find("voids on compression (none up to 4 m/s)") != std::string::npos);
    CHECK(unchanged.find("refill deficit at 0.3, 2 and 3 m/s") != std::string::npos);
    CHECK(unchanged.find("damping force on compression at 0.1, 1 and 3 m/s") != std::string::npos);
    CHECK(unchanged.find("damping force on rebound at 0.1, 1 and 3 m/s") != std::string::npos);
}

TEST_CASE("what a rider notices most is told first", "[report]") {
    const Headline from = headline_of(0.4e5, 2.0);
    Headline to = headline_of(0.6e5, 1.9);
    for (Figure& figure : to.figures)
        if (figure.quantity == Quantity::damping_force && figure.speed == 1.0) *figure.value += 50.0;
    const Variant variant = attribute(from, to, {difference("a")}, {{"a", from, {}}});
    REQUIRE(variant.changes.size() == 3);
    // 50 N of 100 N are five steps of 10 N, 0.2 bar two of 0.1 bar, 0.1 m/s one.
    CHECK(variant.changes[0].to.quantity == Quantity::damping_force);
    CHECK_THAT(variant.changes[0].noticed, WithinRel(5.0, 1e-12));
    CHECK(variant.changes[1].to.quantity == Quantity::refill_deficit);
    CHECK_THAT(variant.changes[1].noticed, WithinRel(2.0, 1e-12));
    CHECK_THAT(variant.changes[2].noticed, WithinRel(1.0, 1e-12));
}

TEST_CASE("figures of one family make one clause, told at 1 m/s", "[report]") {
    const Headline from = headline_of(0.4e5);
    Headline to = from;
    for (Figure& figure : to.figures)
        if (figure.quantity == Quantity::damping_force && *figure.speed > 0.0) *figure.value *= 2.0;
    const Variant variant = attribute(from, to, {difference("a")}, {{"a", from, {}}});
    REQUIRE(sentences(variant, 4.0).size() == 1);
    CHECK(sentences(variant, 4.0).front() ==
          "Damping force on compression at 1 m/s 100 N → 200 N (also at 0.1 and 3 m/s), because of a.");
}

TEST_CASE("a comparison keeps the contract in JSON and shows every figure side by side", "[report]") {
    const Headline from = headline_of(1.2e5, 1.3);
    const Headline to = headline_of(0.1e5);
    Comparison comparison;
    comparison.setups.resize(2);
    comparison.setups[0].file = "fork.yaml";
    comparison.setups[0].headline = from;
    comparison.setups[0].reading.unit.emplace();
    comparison.setups[1].file = "soft.yaml";
    comparison.setups[1].headline = to;
    comparison.variants.push_back(attribute(from, to, {difference("a")}, {{"a", from, {}}}));

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
    CHECK(change.at("because") == "a");
    CHECK(object.at("rule") == rule_of_causes());
    CHECK(points(comparison).size() == 2 * from.figures.size());

    const std::string all = text(comparison);
    CHECK(all.find("Voids on rebound") < all.find("refill deficit"));
    CHECK(all.find("1.30   none") != std::string::npos);
}
