#include <study/headlines.hpp>
#include <support/catch.hpp>

#include <algorithm>

using namespace valve::study;
using valve::samples::difference;
using valve::samples::figure;
using valve::samples::headline;
using valve::setup::Difference;
using Keys = std::vector<std::string>;

namespace {

const Change& deficit_change(const Variant& variant) {
    const auto found = std::find_if(variant.changes.begin(), variant.changes.end(), [](const Change& change) {
        return change.to.quantity == Quantity::refill_deficit;
    });
    REQUIRE(found != variant.changes.end());
    return *found;
}

Headline with_force(double force) {
    Headline result = headline();
    figure(result, Quantity::damping_force, 1.0).value = force;
    return result;
}

} // namespace

TEST_CASE("the key that takes back more than half of a change is its cause", "[study][causes]") {
    const Variant variant = attribute(headline(1.2e5), headline(0.2e5), {difference("a"), difference("b")},
                                      {{"a", headline(0.3e5), {}}, {"b", headline(1.0e5), {}}});
    const Change& change = deficit_change(variant);
    CHECK(change.cause == Cause::one_key);
    CHECK(change.because == Keys{"b"});
    CHECK_THAT(*change.shares[0].undone, WithinRel(0.1, 1e-12));
    CHECK_THAT(*change.shares[1].undone, WithinRel(0.8, 1e-12));
    CHECK_THAT(*change.shares[1].effect, WithinRel(-0.8e5, 1e-12));
    CHECK(variant.changes.size() == 1);
}

TEST_CASE("where no key takes back half, those with a tenth act together, in the order of the file",
          "[study][causes]") {
    const Variant variant =
        attribute(headline(1.2e5), headline(0.2e5), {difference("a"), difference("b"), difference("c")},
                  {{"a", headline(0.4e5), {}}, {"b", headline(0.21e5), {}}, {"c", headline(0.6e5), {}}});
    CHECK(deficit_change(variant).cause == Cause::together);
    CHECK(deficit_change(variant).because == Keys{"a", "c"});
}

TEST_CASE("of two keys that each take back more than half both are named", "[study][causes]") {
    const Variant variant =
        attribute(headline(1.2e5), headline(0.2e5), {difference("a"), difference("b"), difference("c")},
                  {{"a", headline(0.8e5), {}}, {"b", headline(0.71e5), {}}, {"c", headline(0.25e5), {}}});
    CHECK(deficit_change(variant).cause == Cause::together);
    CHECK(deficit_change(variant).because == Keys{"a", "b"});
}

// Common practice, no source.
TEST_CASE("a cause leads from half of a change on, and has a part in it from a tenth on", "[study][causes]") {
    const std::vector<Difference> keys{difference("a"), difference("b"), difference("c")};
    // Undone alone, each key takes its part of 1 bar back.
    const auto change = [&](double a, double b, double c) {
        const auto undone = [](double part) { return headline(0.2e5 + part * 1e5); };
        const Variant variant = attribute(headline(1.2e5), headline(0.2e5), keys,
                                          {{"a", undone(a), {}}, {"b", undone(b), {}}, {"c", undone(c), {}}});
        return deficit_change(variant);
    };
    CHECK(change(0.51, 0.2, 0.2).cause == Cause::one_key);
    CHECK(change(0.49, 0.2, 0.2).cause == Cause::together);
    CHECK(change(0.4, 0.101, 0.3).because == Keys{"a", "b", "c"});
    CHECK(change(0.4, 0.099, 0.3).because == Keys{"a", "c"});
    CHECK(change(1.4, -0.51, 0.0).cause == Cause::cancelling);
    CHECK(change(1.4, -0.49, 0.0).cause == Cause::one_key);
    CHECK(change(2.0, -1.0, 0.201).because == Keys{"a", "b", "c"}); // a tenth of the largest of them
    CHECK(change(2.0, -1.0, 0.199).because == Keys{"a", "b"});
}

TEST_CASE("effects that cancel are both causes, with their parts", "[study][causes]") {
    // 226 N to 240 N, which is what 65 N less of one key and 79 N more of another leave.
    const std::vector<Difference> keys{difference("float"), difference("clamp"), difference("oil")};
    const Variant variant = attribute(
        with_force(226.0), with_force(240.0), keys,
        {{"float", with_force(305.0), {}}, {"clamp", with_force(161.0), {}}, {"oil", with_force(239.0), {}}});
    REQUIRE(variant.changes.size() == 1);
    const Change& change = variant.changes.front();
    CHECK(change.cause == Cause::cancelling);
    CHECK(change.because == Keys{"float", "clamp"});
    CHECK(change.shares[0].effect == -65.0);
    CHECK(change.shares[1].effect == 79.0);

    // One that works against the leading key by less is none.
    const Variant led = attribute(
        with_force(226.0), with_force(326.0), keys,
        {{"float", with_force(186.0), {}}, {"clamp", with_force(366.0), {}}, {"oil", with_force(326.0), {}}});
    CHECK(led.changes.front().cause == Cause::one_key);
    CHECK(led.changes.front().because == Keys{"float"});
}

TEST_CASE("a figure that stays since its keys cancel is known as one", "[study][causes]") {
    const std::vector<Difference> keys{difference("float"), difference("clamp")};
    const Variant variant = attribute(with_force(226.0), with_force(226.5), keys,
                                      {{"float", with_force(291.5), {}}, {"clamp", with_force(164.5), {}}});
    CHECK(variant.changes.empty());
    REQUIRE(variant.balanced.size() == 1);
    CHECK(variant.balanced.front().because == Keys{"float", "clamp"});
    CHECK(variant.balanced.front().shares[0].effect == -65.0);
    CHECK(variant.balanced.front().shares[1].effect == 62.0);
    REQUIRE(variant.largest_unchanged);
    CHECK_THAT(variant.largest_unchanged->noticed, WithinRel(0.5 / 11.3, 1e-9));
    // 5 N of one against 5 N of another are nothing that a rider would notice.
    CHECK(attribute(with_force(226.0), with_force(226.0), keys,
                    {{"float", with_force(231.0), {}}, {"clamp", with_force(221.0), {}}})
              .balanced.empty());
}

TEST_CASE("keys that each do the same are found by applying them alone", "[study][causes]") {
    const Headline from = headline(1.2e5);
    const Headline to = headline(0.2e5);
    const std::vector<Difference> keys{difference("a"), difference("b"), difference("c")};
    // Undoing any one leaves the others at work.
    const Variant unclear = attribute(from, to, keys, {{"a", to, {}}, {"b", to, {}}, {"c", to, {}}});
    CHECK(deficit_change(unclear).cause == Cause::unclear);
    CHECK(deficit_change(unclear).because == Keys{"a", "b", "c"});

    const Variant found = attribute(from, to, keys, {{"a", to, to}, {"b", to, from}, {"c", to, to}});
    CHECK(deficit_change(found).cause == Cause::overlapping);
    CHECK(deficit_change(found).because == Keys{"a", "c"});
}

TEST_CASE("a key that cannot be undone alone has no share", "[study][causes]") {
    const Variant variant = attribute(headline(1.2e5), headline(0.2e5), {difference("a"), difference("b")},
                                      {{"a", std::nullopt, {}}, {"b", headline(1.1e5), {}}});
    const Change& change = deficit_change(variant);
    CHECK_FALSE(change.shares[0].undone);
    CHECK_FALSE(change.shares[0].effect);
    CHECK(change.because == Keys{"b"});
}

TEST_CASE("an onset that is not reached counts as the top speed", "[study][causes]") {
    const Variant variant =
        attribute(headline(0.4e5, 1.0), headline(0.4e5), {difference("a"), difference("b")},
                  {{"a", headline(0.4e5, 3.7), {}}, {"b", headline(0.4e5, 1.6), {}}});
    REQUIRE(variant.changes.size() == 1);
    CHECK_THAT(*variant.changes[0].shares[0].undone, WithinRel(0.1, 1e-12)); // (4.0 - 3.7)/(4.0 - 1.0)
    CHECK_THAT(*variant.changes[0].shares[1].undone, WithinRel(0.8, 1e-12));
    CHECK(variant.changes[0].because == Keys{"b"});
}

TEST_CASE("an onset at the top speed that is lost has no share, rather than an infinite one",
          "[study][causes]") {
    const Variant variant = attribute(headline(0.4e5, 4.0), headline(0.4e5), {difference("a")},
                                      {{"a", headline(0.4e5, 4.0), {}}});
    REQUIRE(variant.changes.size() == 1);
    CHECK_FALSE(variant.changes[0].shares[0].undone);
    CHECK(variant.changes[0].cause == Cause::unclear);
}

TEST_CASE("small differences are alike, an onset gained or lost is not", "[study][causes]") {
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

TEST_CASE("figures that are not solved are neither changed nor unchanged", "[study][causes]") {
    const Headline from = headline();
    Headline to = headline();
    for (Figure& one : to.figures)
        if (one.speed == 3.0) one = {one.quantity, one.speed, std::nullopt, "beyond the end"};
    const Variant variant = attribute(from, to, {difference("a")}, {{"a", from, {}}});
    CHECK(variant.changes.empty());
    for (const Figure& one : variant.unchanged)
        CHECK(one.speed != 3.0);
}

TEST_CASE("what a rider notices most is told first", "[study][causes]") {
    const Headline from = headline(0.4e5, 2.0);
    Headline to = headline(0.6e5, 1.9);
    figure(to, Quantity::damping_force, 1.0).value = 150.0;
    const Variant variant = attribute(from, to, {difference("a")}, {{"a", from, {}}});
    REQUIRE(variant.changes.size() == 3);
    // 50 N of 100 N are five steps of 10 N, 0.2 bar two of 0.1 bar, 0.1 m/s one.
    CHECK(variant.changes[0].to.quantity == Quantity::damping_force);
    CHECK_THAT(variant.changes[0].noticed, WithinRel(5.0, 1e-12));
    CHECK(variant.changes[1].to.quantity == Quantity::refill_deficit);
    CHECK_THAT(variant.changes[1].noticed, WithinRel(2.0, 1e-12));
    CHECK_THAT(variant.changes[2].noticed, WithinRel(1.0, 1e-12));
}
