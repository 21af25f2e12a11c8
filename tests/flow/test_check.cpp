#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/flow/opening.hpp>

#include <algorithm>
#include <numbers>
#include <string>

using namespace valve;

namespace {

/// The finding for `key`; fails the test if there is none.
Finding finding(const Findings& findings, const std::string& key) {
    const auto found =
        std::find_if(findings.begin(), findings.end(), [&](const Finding& one) { return one.key == key; });
    INFO("key " << key);
    REQUIRE(found != findings.end());
    return *found;
}

bool has(const Findings& findings, const std::string& key, Finding::Severity severity) {
    return std::any_of(findings.begin(), findings.end(),
                       [&](const Finding& one) { return one.key == key && one.severity == severity; });
}

bool is_error(const Finding& finding) {
    return finding.severity == Finding::Severity::error;
}

} // namespace

TEST_CASE("sound oil and valve give no findings", "[flow][check]") {
    CHECK(check(samples::oil()).empty());
    CHECK(check(samples::valve()).empty());
}

TEST_CASE("oil that cannot be is refused", "[flow][check]") {
    const auto with = [](auto change) {
        flow::Oil oil = samples::oil();
        change(oil);
        return check(oil);
    };
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.density_15 = 0.0; }), "density")));
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.bulk_modulus = -1.0; }), "bulk_modulus")));
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.free_air = 1.0; }), "free_air")));
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.expansion = 0.05; }), "expansion")));
    CHECK(is_error(
        finding(with([](flow::Oil& oil) { oil.cavitation_pressure = 2e5; }), "cavitation_pressure")));
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.viscosity[350.0] = 5e-6; }), "viscosity")));
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.viscosity[373.15] = 20e-6; }), "viscosity")));
    CHECK(is_error(finding(with([](flow::Oil& oil) { oil.viscosity[373.15] = 0.2e-6; }), "viscosity")));
    const Finding hot = finding(with([](flow::Oil& oil) { oil.temperature = 440.0; }), "temperature");
    CHECK_FALSE(is_error(hot));
    CHECK_THAT(hot.message, contains_text("above 2 mm2/s"));
}

TEST_CASE("each limit of oil is held on both sides of it", "[flow][check]") {
    using Severity = Finding::Severity;
    struct Limit {
        const char* key;
        Severity severity;
        double number; // where it lies
        void (*set)(flow::Oil&, double number);
    };
    for (const Limit& limit :
         {Limit{"temperature", Severity::warning, 1.0 / 2e-6, // the law is doubtful below 2 mm²/s
                [](flow::Oil&oil, double number) {
                    oil.temperature = 373.15;
                    oil.viscosity[373.15] = 1.0 / number;
                }},
          Limit{"temperature", Severity::error, 1.0 / 300.0, // colder than where it is 1 m²/s
                [](flow::Oil&oil, double number) {
                    oil.viscosity = {{300.0, 1.0}, {373.15, 1e-3}};
                    oil.temperature = 1.0 / number;
                }},
          Limit{"expansion", Severity::error, 0.9 / 30.0, // leaves a tenth of the density 30 K above 15 C
                [](flow::Oil&oil, double number) {
                    oil.temperature = 318.15;
                    oil.expansion = number;
                }}}) {
        for (const double beyond : {0.999, 1.001}) {
            CAPTURE(limit.key, limit.number, beyond);
            flow::Oil oil = samples::oil();
            limit.set(oil, beyond * limit.number);
            CHECK(has(check(oil), limit.key, limit.severity) == (beyond > 1.0));
        }
    }
}

TEST_CASE("a valve that cannot be is refused", "[flow][check]") {
    const auto with = [](auto change) {
        flow::Valve valve = samples::valve();
        change(valve);
        return check(valve);
    };
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.ports.count = 0; }), "ports.count")));
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.ports.area_each = 0.0; }), "ports.area")));
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.jet_force = 1.5; }), "jet_force")));
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.curtain_length = 0.0; }), "curtain_length")));
    CHECK(
        is_error(finding(with([](flow::Valve& valve) { valve.discharge.bleed = 0.0; }), "discharge.bleed")));
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.bleed = flow::Hole{}; }), "bleed.hole")));
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.bleed = flow::Notch{}; }), "bleed.area")));
    CHECK(is_error(finding(with([](flow::Valve& valve) {
                               valve.bleed = flow::Notch{1e-6, 0.0};
                           }),
                           "bleed.depth")));
    CHECK(is_error(finding(with([](flow::Valve& valve) { valve.stack.coverage = 0.0; }), "coverage")));
}

TEST_CASE("more clicks than the adjuster has are refused with the range", "[flow][check]") {
    flow::Valve valve = samples::valve();
    valve.bleed = flow::Needle{.seat_diameter = 3e-3,
                               .cone_angle = std::numbers::pi / 9.0,
                               .per_click = 0.06e-3,
                               .clicks = 30,
                               .range = 24};
    const Finding clicks = finding(check(valve), "bleed.needle.clicks");
    CHECK(is_error(clicks));
    CHECK(clicks.other_key == "bleed.needle.of");
    CHECK_THAT(clicks.message, contains_text("30 clicks") && contains_text("0 to 24"));
}

TEST_CASE("seats of their own want to know how their ports lie", "[flow][check]") {
    flow::Valve valve = samples::valve();
    valve.curtain_length = 30e-3;
    CHECK(check(valve).empty());
    valve.stack.coverage = 0.6;
    const Finding unknown = finding(check(valve), "curtain_length");
    CHECK_FALSE(is_error(unknown));
    CHECK(unknown.other_key == "coverage");
    CHECK_THAT(unknown.message, contains_text("mean of the ring") && contains_text("ports.arc"));
    CHECK_FALSE(flow::opens_over_ports(valve));
    flow::Valve disc = valve; // stays level: its gap is the same all round
    disc.stack.shims.clear();
    disc.stack.disc = stack::Disc{12e-3, 1e-3};
    disc.stack.floating = stack::Float{.travel = 1e-3, .spring_rate = 1e3};
    CHECK(check(disc).empty());
    valve.stack.windows = 4;
    CHECK(check(valve).empty());
    CHECK(flow::opens_over_ports(valve));
    valve.curtain_length.reset();
    CHECK_FALSE(flow::opens_over_ports(valve));
    valve.stack.windows = -1;
    CHECK(is_error(finding(check(valve), "ports.count")));
}

TEST_CASE("a jet too strong for its load area is warned of with the ratio", "[flow][check]") {
    flow::Valve valve = samples::valve();
    valve.ports.count = 40;
    valve.jet_force = 1.0;
    const Finding jet = finding(check(valve), "jet_force");
    CHECK_FALSE(is_error(jet));
    // 2 · 0.75² · 520 mm² over π (11² − 7²) + π 0.5 (22 + 11.5)/3 mm²
    CHECK_THAT(jet.message, contains_text("= 2.40;"));
    // 2.4002 in full: from 1 on.
    for (const double part : {0.999, 1.001}) {
        valve.jet_force = part / 2.4002;
        CHECK(has(check(valve), "jet_force", Finding::Severity::warning) == (part > 1.0));
    }
}

TEST_CASE("ports that are larger than the ring they open into get a question", "[flow][check]") {
    flow::Valve valve = samples::valve(); // a zone of 14 to 22 mm: 226 mm2
    valve.jet_force = 0.0;
    valve.ports = {.count = 4, .area_each = 57e-6};
    const Finding ports = finding(check(valve), "ports");
    CHECK_FALSE(is_error(ports));
    CHECK_THAT(ports.message, contains_text("228 mm2") && contains_text("226.2 mm2"));
    valve.ports.area_each = 56e-6;
    CHECK(check(valve).empty());
}
