#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/stack/spec.hpp>

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

std::string first_error_key(const Stack& stack) {
    const Findings findings = check(stack);
    const Finding* found = first_error(findings);
    return found == nullptr ? "" : found->key;
}

} // namespace

TEST_CASE("a sound stack has nothing found", "[stack]") {
    CHECK(check(sound()).empty());
    Stack floated = sound();
    floated.floating = sound_float();
    CHECK(check(floated).empty());
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
    CHECK(asked({face, {5e-3, 1.5e-3, {}}}).empty()); // a spacer no larger than the clamp
    CHECK_THAT(asked({{12e-3, 0.15e-3, {.yield_strength = 900e6, .fatigue_limit = 1700e6}}}),
               contains_text("1700 MPa is more than the yield strength, 900 MPa; are the two exchanged?"));
}
