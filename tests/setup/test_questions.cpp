#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/event.hpp>

#include <fmt/format.h>

#include <algorithm>

using namespace valve;

namespace {

/// The warnings that the demo fork gives with one value changed, less those that it gives anyway.
std::vector<std::string> asked(const std::string& key, const std::string& value) {
    std::vector<std::string> warnings = read_example({{key, value}}).warnings;
    for (const std::string& known : read_example().warnings)
        std::erase(warnings, known);
    return warnings;
}

bool is_unusual(const std::vector<std::string>& warnings) {
    return std::any_of(warnings.begin(), warnings.end(),
                       [](const std::string& one) { return one.find("is unusual") != std::string::npos; });
}

} // namespace

TEST_CASE("values that are likely a slip of the unit get a question", "[setup][questions]") {
    struct Slip {
        const char* key;
        const char* slip;
        const char* question;
        const char* meant;
    };
    for (const Slip& slip :
         {Slip{"support.spring.rate", "0.0048", "is it in N/mm?", "4.8 N/mm"},
          Slip{"support.spring.rate", "4.8 N/m", "is it in N/mm?", "4800 N/m"},
          Slip{"support.spring.rate", "480", "is it in N/mm?", "9 N/mm"},
          Slip{"reservoir.rate", "1800", "is it in N/mm?", "1800 N/m"},
          Slip{"valves.base.refill.float.rate", "800", "is it in N/mm?", "0.8"},
          Slip{"valves.base.refill.material", "{E: 206 MPa}", "is it in GPa?", "{E: 206 GPa}"},
          Slip{"valves.base.compression.bleed.needle.per_click", "0.6 mm", "a tenth of this", "0.06 mm"},
          Slip{"support.load", "{sprung: 90, rider: 85, rider_share: 0.42, rake: 25}", "a hundred times this",
               "{sprung: 90, rider: 85, rider_share: 42, rake: 25}"}}) {
        INFO(slip.key << ": " << slip.slip);
        const std::vector<std::string> warnings = asked(slip.key, slip.slip);
        REQUIRE_FALSE(warnings.empty());
        CHECK_THAT(warnings.front(), contains_text("warning: ") && contains_text(slip.question));
        CHECK(asked(slip.key, slip.meant).empty());
    }
    const std::vector<std::string> short_travel = asked("damper.travel", "0.075"); // metres, written as mm
    REQUIRE_FALSE(short_travel.empty());
    CHECK_THAT(short_travel.front(), contains_text("warning: ") && contains_text("damper.travel: ") &&
                                         contains_text("a bare number is in mm"));
    CHECK(asked("valves.base.refill.float.rate", "0").size() ==
          1); // a float without a spring, and no question
}

// What is usual is common practice, no source.
TEST_CASE("a value is asked about from just beyond what is usual on either side", "[setup][questions]") {
    struct Usual {
        const char* key;
        const char* value; // {} is the number
        double low;
        double high;
    };
    for (const Usual& one :
         {Usual{"support.spring.rate", "{}", 0.5, 400.0},
          Usual{"support.spring.second", "{{rate: {}, from: 100 mm}}", 0.5, 400.0},
          Usual{"support.load", "{{sprung: 90, rider: 85, rake: 25, rider_share: {}}}", 5.0,
                0.0}, // 100 is all
          Usual{"reservoir.rate", "{}", 0.05, 200.0}, Usual{"reservoir.mass", "{}", 0.001, 2.0},
          Usual{"valves.base.refill.float.rate", "{}", 0.01, 300.0},
          Usual{"valves.base.refill.material", "{{E: {}}}", 40.0, 420.0},
          Usual{"valves.base.compression.bleed.needle.per_click", "{}", 0.005, 0.3},
          Usual{"vehicle", "{{unsprung: {}}}", 3.0, 60.0},
          Usual{"vehicle", "{{unsprung: 16, tyre: {{rate: {}}}}}", 50.0, 500.0},
          Usual{"vehicle", "{{unsprung: 16, tyre: {{radius: {}}}}}", 0.15, 0.6}}) {
        const auto unusual = [&](double number) {
            CAPTURE(one.key, one.value, number);
            return is_unusual(asked(one.key, fmt::format(fmt::runtime(one.value), number)));
        };
        CHECK_FALSE(unusual(one.low));
        CHECK(unusual(0.99 * one.low));
        if (one.high == 0.0) continue;
        CHECK_FALSE(unusual(one.high));
        CHECK(unusual(1.01 * one.high));
    }
    // A rider may sit on one wheel: 100 % is the most that a share can be.
    CHECK(asked("support.load", "{sprung: 90, rider: 85, rake: 25, rider_share: 100}").empty());
    const auto unusual_height = [](const std::string& height) {
        return is_unusual(
            setup::EventFile::parse(
                "format: 1\nevent: {kind: landing, duration: 1 s, height: " + height + "}\n", "drop.yaml")
                .warnings);
    };
    CHECK(unusual_height("0.99 mm"));
    CHECK_FALSE(unusual_height("1 mm"));
    CHECK_FALSE(unusual_height("3000 mm"));
    CHECK(unusual_height("3001 mm"));
}

TEST_CASE("numbers too small to be a thing are refused at their place", "[setup][questions]") {
    struct Tiny {
        const char* key;
        const char* value;
    };
    for (const Tiny& tiny :
         {Tiny{"valves.base.refill.material", "{density: 1e-20}"},
          Tiny{"valves.base.refill.material", "{E: 1e-9}"},
          Tiny{"valves.base.compression.discharge.port", "1e-323"},
          Tiny{"valves.base.compression.discharge.curtain_transition", "1e-323"},
          Tiny{"valves.base.compression.ports.area", "1e-300"}, Tiny{"damper.ring_leak.length", "1e-300"},
          Tiny{"valves.base.refill.float.travel", "1e-300"}, Tiny{"valves.base.refill.coverage", "1e-300"},
          Tiny{"valves.base.refill.shims", "[26 x 1e-20]"}}) {
        INFO(tiny.key << ": " << tiny.value);
        CHECK_THROWS_WITH(read_example({{tiny.key, tiny.value}}),
                          contains_text("error: ") && contains_text("is out of range; expected"));
    }
}
