#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/stack/spec.hpp>

#include <algorithm>
#include <cstddef>

using namespace valve;
using namespace valve::stack;

namespace {

Stack sound() {
    Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {7e-3, 11e-3};
    stack.seat = {11e-3, 11.5e-3, 0.0};
    stack.shims = {{12e-3, 0.15e-3, {}}, {10e-3, 0.15e-3, {}}};
    return stack;
}

Float sound_float() {
    return {.travel = 0.5e-3,
            .spring_rate = 1e3,
            .preload = 2.0,
            .ring_radius = 6e-3,
            .spring_radius = 6e-3,
            .stop_radius = 6e-3,
            .rests_on = RestsOn::hub};
}

/// The sound stack, floated on a hub of 12 mm.
Stack floated() {
    Stack stack = sound();
    stack.floating = sound_float();
    return stack;
}

/// A disc of 24 mm in place of the shims.
Stack disc() {
    Stack stack = floated();
    stack.shims.clear();
    stack.disc = Disc{12e-3, 1e-3};
    return stack;
}

/// How often `key` is told of.
std::ptrdiff_t times_told(const Findings& findings, const std::string& key, Finding::Severity severity) {
    return std::count_if(findings.begin(), findings.end(),
                         [&](const Finding& one) { return one.key == key && one.severity == severity; });
}

/// What is found once an edge passes its limit; `shift` makes it, by how far it is beyond [m].
struct Limit {
    const char* key;
    const char* what;
    Stack stack;
    void (*shift)(Stack&, double beyond);
};

/// Found once a micrometre beyond the limit, and not a micrometre within.
void check_limits(const std::vector<Limit>& limits, Finding::Severity severity) {
    for (const Limit& limit : limits) {
        INFO(limit.key << ": " << limit.what);
        for (const double beyond : {-1e-6, 1e-6}) {
            Stack stack = limit.stack;
            limit.shift(stack, beyond);
            CHECK(times_told(check(stack), limit.key, severity) == (beyond > 0.0 ? 1 : 0));
        }
    }
}

std::string first_error_key(const Stack& stack) {
    const Findings findings = check(stack);
    const Finding* found = first_error(findings);
    return found == nullptr ? "" : found->key;
}

} // namespace

TEST_CASE("a sound stack has nothing found", "[stack]") {
    CHECK(check(sound()).empty());
    CHECK(check(floated()).empty());
    CHECK(check(disc()).empty());
}

// Radii within 5 micrometres of each other are one edge.
TEST_CASE("each limit of a stack's geometry is held on both sides of it", "[stack]") {
    constexpr double edge = 5e-6;
    check_limits(
        {{"seat.inner", "beyond the seat's outer diameter", sound(),
          [](Stack& s, double beyond) { s.seat.outer_radius = s.seat.inner_radius - edge - beyond; }},
         {"seat.outer", "beyond the face shim", sound(),
          [](Stack& s, double beyond) { s.seat.outer_radius = 12e-3 + edge + beyond; }},
         {"seat.outer", "beyond the disc", disc(),
          [](Stack& s, double beyond) { s.disc->outer_radius = s.seat.outer_radius - edge - beyond; }},
         {"zone.inner", "at the seat", sound(),
          [](Stack& s, double beyond) { s.zone.inner_radius = s.seat.inner_radius - edge + beyond; }},
         {"zone.inner", "inside the bore of floated shims", floated(),
          [](Stack& s, double beyond) { s.zone.inner_radius = s.bore_radius - edge - beyond; }},
         {"zone.outer", "where the zone begins", sound(),
          [](Stack& s, double beyond) { s.zone.outer_radius = s.zone.inner_radius + edge - beyond; }},
         {"clamp", "on the seat", sound(),
          [](Stack& s, double beyond) { s.clamp_radius = s.seat.inner_radius - edge + beyond; }},
         {"shims", "the face shim is no larger than the clamp", sound(),
          [](Stack& s, double beyond) { s.shims.front().outer_radius = s.clamp_radius + edge - beyond; }},
         {"bore", "larger than the ring that floats", floated(),
          [](Stack& s, double beyond) { s.bore_radius = s.floating->ring_radius + edge + beyond; }},
         {"float.spring_at", "outside the last shim", floated(),
          [](Stack& s, double beyond) { s.floating->spring_radius = 10e-3 + edge + beyond; }},
         {"float.spring_at", "inside the bore", floated(),
          [](Stack& s, double beyond) { s.floating->spring_radius = s.bore_radius - edge - beyond; }},
         {"float.stop_at", "outside the last shim", floated(),
          [](Stack& s, double beyond) { s.floating->stop_radius = 10e-3 + edge + beyond; }},
         {"float.stop_at", "inside the bore", floated(),
          [](Stack& s, double beyond) { s.floating->stop_radius = s.bore_radius - edge - beyond; }},
         {"float.stop_at", "over the seat, from its inner edge", floated(),
          [](Stack& s, double beyond) {
              s.shims.pop_back();
              s.floating->stop_radius = s.seat.inner_radius - edge + beyond;
          }},
         {"float.stop_at", "over the seat, from its outer edge", floated(),
          [](Stack& s, double beyond) {
              s.shims.pop_back();
              s.floating->stop_radius = s.seat.outer_radius + edge - beyond;
          }}},
        Finding::Severity::error);

    check_limits(
        {{"zone.outer", "short of the seat", sound(),
          [](Stack& s, double beyond) { s.zone.outer_radius = s.seat.inner_radius - edge - beyond; }},
         {"zone.outer", "beyond the seat's inner edge", sound(),
          [](Stack& s, double beyond) { s.zone.outer_radius = s.seat.inner_radius + edge + beyond; }},
         {"zone.inner", "under the clamp", sound(),
          [](Stack& s, double beyond) { s.zone.inner_radius = s.clamp_radius - edge - beyond; }}},
        Finding::Severity::warning);
    // What floats has no clamp: its ring may lie within the zone.
    Stack on_ring = floated();
    on_ring.clamp_radius = 7.5e-3;
    CHECK(check(on_ring).empty());
    // A ring over the seat that is the stop as well meets no seat when the stack is up.
    Stack on_seat = floated();
    on_seat.shims.pop_back();
    on_seat.floating->ring_radius = on_seat.floating->stop_radius = 11.2e-3;
    CHECK(check(on_seat).empty());
}

TEST_CASE("parts of a float that do not go together are told", "[stack]") {
    Stack both = disc();
    both.shims = sound().shims;
    CHECK(times_told(check(both), "disc", Finding::Severity::error) == 1);

    Stack turned = floated();
    turned.floating->adjuster = SpringAdjuster{.turns = 4.0, .per_turn = 1e-3, .range = 4.0};
    CHECK(check(turned).empty());
    turned.floating->adjuster->turns = 4.01;
    CHECK(first_error_key(turned) == "float.adjuster.turns");

    turned.floating->adjuster->turns = 4.0;
    turned.floating->spring_rate = 0.0;
    CHECK(first_error_key(turned) == "float.adjuster");
    turned.floating->adjuster.reset();
    const Findings loose = check(turned);
    REQUIRE(loose.size() == 1);
    CHECK(loose[0].severity == Finding::Severity::warning);
    CHECK(loose[0].key == "float.rate");
    CHECK_THAT(loose[0].message, contains_text("takes 0.1 mbar over the travel"));
}

TEST_CASE("a small shim inside the ring of the coil is named with what is not computed", "[stack]") {
    Stack stack = sound();
    stack.floating = sound_float();
    stack.shims = {{12e-3, 0.25e-3, {}}, {7e-3, 0.15e-3, {}}, {11e-3, 0.2e-3, {}}};
    CHECK(check(stack).empty()); // the coil on the ring that floats
    stack.floating->spring_radius = 7.5e-3;
    const Findings findings = check(stack);
    REQUIRE(findings.size() == 1);
    CHECK(findings.front().key == "float.spring_at");
    CHECK(findings.front().severity == Finding::Severity::warning);
    CHECK_THAT(findings.front().message,
               contains_text("shim 2, 14 mm across, ends inside the ring where the coil bears, 15 mm") &&
                   contains_text("on the ring that floats, 12 mm across") && contains_text("not computed"));
    stack.floating->spring_radius = 7e-3; // at its edge
    CHECK(check(stack).empty());
    stack.floating->spring_radius = 7.5e-3;
    stack.shims = {{12e-3, 0.25e-3, {}}, {11e-3, 0.2e-3, {}}, {7e-3, 0.15e-3, {}}};
    CHECK(first_error_key(stack) == "float.spring_at"); // outside the last shim
}

TEST_CASE("geometry that cannot work is named by its key", "[stack]") {
    Stack stack = sound();
    SECTION("seat outside the face shim") {
        stack.seat.outer_radius = 12.5e-3;
        CHECK(first_error_key(stack) == "seat.outer");
    }
    SECTION("clamp over the seat") {
        stack.clamp_radius = 11.2e-3;
        CHECK(first_error_key(stack) == "clamp");
    }
    SECTION("zone beyond the seat") {
        stack.zone = {11.2e-3, 11.4e-3};
        CHECK(first_error_key(stack) == "zone.inner");
    }
    SECTION("zone inside out") {
        stack.zone = {7e-3, 6e-3};
        CHECK(first_error_key(stack) == "zone.outer");
    }
    SECTION("face shim under the clamp") {
        stack.shims.front().outer_radius = 6e-3;
        CHECK(first_error_key(stack) == "shims");
    }
    SECTION("no shim") {
        stack.shims.clear();
        CHECK(first_error_key(stack) == "shims");
    }
    SECTION("stop outside the last shim") {
        stack.floating = sound_float();
        stack.floating->stop_radius = 10.5e-3;
        CHECK(first_error_key(stack) == "float.stop_at");
    }
    SECTION("stop over the seat") {
        stack.shims.pop_back();
        stack.floating = sound_float();
        stack.floating->stop_radius = 11.2e-3;
        CHECK(first_error_key(stack) == "float.stop_at");
    }
    SECTION("disc without a coil") {
        stack.shims.clear();
        stack.disc = Disc{12e-3, 1e-3};
        CHECK(first_error_key(stack) == "float");
    }
}

TEST_CASE("a zone that stops short of the seat is a warning", "[stack]") {
    Stack stack = sound();
    stack.zone.outer_radius = 10e-3;
    const Findings findings = check(stack);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].severity == Finding::Severity::warning);
    CHECK(findings[0].key == "zone.outer");
}

TEST_CASE("a list of shims that is unlikely to be meant gets a question", "[stack]") {
    const auto asked = [](const std::vector<Shim>& shims) {
        Stack stack = sound();
        stack.shims = shims;
        const Findings findings = check(stack);
        CHECK(first_error(findings) == nullptr);
        return findings.empty() ? std::string() : findings.front().message;
    };
    const Shim face{12e-3, 0.15e-3, {}};
    const Shim ten{10e-3, 0.15e-3, {}};
    const Shim nine{9e-3, 0.15e-3, {}};
    const Shim eight{8e-3, 0.15e-3, {}};
    const Shim crossover{7e-3, 0.15e-3, {}};
    const Shim larger{12.5e-3, 0.15e-3, {}};
    CHECK(asked({face, face, ten, nine, eight}).empty());
    CHECK(asked({face, face, crossover, ten, nine, eight}).empty()); // two stages
    CHECK(asked({face, crossover, ten}).empty());
    CHECK_THAT(asked({face, face, eight, nine, ten}),
               contains_text("grow from 16 mm to 20 mm") && contains_text("from the piston face?"));
    CHECK_THAT(asked({face, larger}), contains_text("24 mm across, is smaller than the next, 25 mm"));
    CHECK_THAT(asked({face, {10e-3, 1.5e-3, {}}}), contains_text("1.5 mm hardly bends; is 0.15 mm meant?"));
    CHECK(asked({face, {10e-3, 0.6e-3, {}}}).empty());
    CHECK_THAT(asked({face, {10e-3, 0.61e-3, {}}}), contains_text("0.61 mm hardly bends"));
    CHECK(asked({face, {5e-3, 1.5e-3, {}}}).empty()); // a spacer no larger than the clamp
    CHECK_THAT(asked({{12e-3, 0.15e-3, {.yield_strength = 900e6, .fatigue_limit = 1700e6}}}),
               contains_text("1700 MPa is more than the yield strength, 900 MPa; are the two exchanged?"));
}
