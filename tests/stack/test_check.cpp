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
