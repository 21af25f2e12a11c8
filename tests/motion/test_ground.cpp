#include <support/catch.hpp>
#include <valve/motion/ground.hpp>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

using namespace valve;
using motion::Event;
using motion::EventKind;
using motion::Ground;

namespace {

Event event_of(EventKind kind) {
    Event event;
    event.kind = kind;
    event.speed = 10.0;
    event.duration = 1.0;
    event.at = 1.0;
    event.height = 60e-3;
    event.length = 0.6;
    event.pitch = 2.0;
    event.count = kind == EventKind::bumps ? 4 : 1;
    return event;
}

/// The envelope by trying places along the wheel, 0.01 mm apart.
double tried(const Ground& ground, double s, double R) {
    double best = -1.0;
    const auto steps = static_cast<int>(std::ceil(R / 1e-5));
    for (int i = -steps; i <= steps; ++i) {
        const double u = R * i / steps;
        best = std::max(best, ground.profile(s + u) + std::sqrt(R * R - u * u) - R);
    }
    return best;
}

std::size_t piece_at(const Ground& ground, double s) {
    const auto& breaks = ground.breaks();
    const auto above = std::upper_bound(breaks.begin() + 1, breaks.end() - 1, s);
    return static_cast<std::size_t>(above - breaks.begin()) - 1;
}

} // namespace

TEST_CASE("a wheel sees edges and bumps as its rim does", "[motion][ground]") {
    constexpr double R = 0.34;
    for (const EventKind kind : {EventKind::square_edge, EventKind::bump, EventKind::bumps}) {
        const Ground ground(event_of(kind), R);
        CAPTURE(static_cast<int>(kind));
        for (int i = 0; i < 997; ++i) {
            const double s = 10.0 * i / 997.0;
            CAPTURE(s);
            // Tried places miss an edge by up to 10 µm, at a slope of up to 0.7.
            CHECK_THAT(ground.at(piece_at(ground, s), s).value, WithinAbs(tried(ground, s, R), 7e-6));
        }
    }
}

TEST_CASE("an edge is met where the rim touches its corner", "[motion][ground]") {
    constexpr double R = 0.34;
    const Event event = event_of(EventKind::square_edge);
    const Ground ground(event, R);
    const double reach = std::sqrt(2.0 * R * event.height - event.height * event.height);
    REQUIRE(ground.begin());
    CHECK_THAT(*ground.begin(), WithinAbs(event.at - reach, 1e-10));
    // There the rim stands at atan(reach/(R − h)).
    const std::size_t piece = piece_at(ground, event.at - reach + 1e-9);
    CHECK_THAT(ground.at(piece, *ground.begin()).slope, WithinRel(reach / (R - event.height), 1e-6));
    CHECK(ground.breaks().size() == 4); // begin, corner met, on top, end
}

TEST_CASE("height and slope of a piece agree, and pieces meet", "[motion][ground]") {
    const Ground ground(event_of(EventKind::bumps), 0.34);
    const auto& breaks = ground.breaks();
    CHECK(ground.bump_begins().size() == 4);
    for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
        CAPTURE(i, breaks[i], breaks[i + 1]);
        if (i > 0)
            CHECK_THAT(ground.at(i, breaks[i]).value, WithinAbs(ground.at(i - 1, breaks[i]).value, 1e-11));
        const double middle = 0.5 * (breaks[i] + breaks[i + 1]);
        const double step = 1e-3 * (breaks[i + 1] - breaks[i]);
        const double difference =
            (ground.at(i, middle + step).value - ground.at(i, middle - step).value) / (2.0 * step);
        CHECK_THAT(ground.at(i, middle).slope, WithinAbs(difference, 1e-6 + 1e-5 * std::abs(difference)));
    }
}

TEST_CASE("a rough road has the density of its class at every wave number", "[motion][ground]") {
    Event event = event_of(EventKind::rough);
    event.at = 0.0;
    event.speed = 20.0;
    event.duration = 2.5; // 50 m: waves 0.02 cycles/m apart
    event.roughness = motion::roughness_of_class('C');
    const Ground ground(event, 0.0);
    constexpr double length = 50.0;
    constexpr int points = 10000;
    for (const double n : {0.06, 0.1, 0.5, 2.0, 9.0}) {
        const double wave = 0.05 + (std::floor((n - 0.05) / 0.02) + 0.5) * 0.02; // the nearest that is there
        std::complex<double> sum = 0.0;
        for (int i = 0; i < points; ++i) {
            const double s = length * i / points;
            sum += ground.profile(s) * std::polar(1.0, -2.0 * std::numbers::pi * wave * s);
        }
        const double density = 2.0 * std::norm(sum / static_cast<double>(points)) / 0.02;
        CAPTURE(n);
        // G(n) = G_0 (n/0.1)^-2; class C has 256e-6 m³ at 0.1 cycles/m (ISO 8608, geometric mean from
        // memory).
        CHECK_THAT(density, WithinRel(256e-6 * (0.1 / wave) * (0.1 / wave), 0.02));
    }
    CHECK(motion::roughness_of_class('A') == 16e-6);
    CHECK(motion::roughness_of_class('H') == 16e-6 * 16384.0);
    CHECK_THROWS_AS(motion::roughness_of_class('I'), std::invalid_argument);
}

TEST_CASE("a road is the same for one seed and another for the next", "[motion][ground]") {
    Event event = event_of(EventKind::rough);
    event.roughness = 64e-6;
    const Ground first(event, 0.3);
    const Ground again(event, 0.3);
    event.seed = 2;
    const Ground other(event, 0.3);
    CHECK(first.at(0, 5.0).value == again.at(0, 5.0).value);
    CHECK(first.at(0, 5.0).value != other.at(0, 5.0).value);
    CHECK(first.at(0, 0.5).value == 0.0);
    REQUIRE(first.begin());
    CHECK(*first.begin() > 0.6); // as the rim reaches the first point
}

TEST_CASE("what no wheel can ride is found", "[motion][event]") {
    const auto finds = [](const Event& event, const std::string& key) {
        const Findings findings = motion::check(event, 0.34);
        return std::any_of(findings.begin(), findings.end(),
                           [&](const Finding& finding) { return finding.key == key; });
    };
    Event event = event_of(EventKind::square_edge);
    CHECK(motion::check(event, 0.34).empty());
    event.height = 0.34;
    CHECK(finds(event, "height"));
    event = event_of(EventKind::bumps);
    event.pitch = 0.5;
    CHECK(finds(event, "pitch"));
    event = event_of(EventKind::profile);
    CHECK(finds(event, "file"));
    event.distance = {0.0, 1.0, 1.0};
    event.heights = {0.0, 0.1, 0.0};
    CHECK(finds(event, "file"));
    event = event_of(EventKind::bump);
    event.speed = std::nan("");
    CHECK(finds(event, "speed"));
}

TEST_CASE("a wheel starts short of an edge and of the first bump", "[motion][event]") {
    // The rim meets the corner of an edge √(2Rh − h²) before it.
    Event event = event_of(EventKind::square_edge);
    const double reach = std::sqrt(2.0 * 0.34 * event.height - event.height * event.height);
    event.at = reach + 1e-6;
    CHECK(motion::check_start(event, 0.34).empty());
    event.at = reach - 1e-6;
    REQUIRE(motion::check_start(event, 0.34).size() == 1);
    CHECK(motion::check_start(event, 0.34).front().key == "at");
    CHECK(motion::check_start(event, 0.0).empty());
    // Of a row only the first counts.
    event = event_of(EventKind::bumps);
    event.at = 0.0;
    CHECK(motion::check_start(event, 0.34).size() == 1);
    event = event_of(EventKind::rough);
    event.at = 0.0;
    CHECK(motion::check_start(event, 0.34).empty());
}

TEST_CASE("a run is cut off where it ends before its event does", "[motion][ground]") {
    motion::Event event;
    event.speed = 10.0;
    event.duration = 1.0;
    const auto ends = [&](motion::EventKind kind, double at) {
        event.kind = kind;
        event.at = at;
        const std::optional<motion::CutOff> cut_off = motion::cut_off(event);
        if (cut_off) CHECK(cut_off->run == 10.0);
        return cut_off ? cut_off->ends : 0.0;
    };
    CHECK(ends(motion::EventKind::square_edge, 10.0) == 0.0);
    CHECK(ends(motion::EventKind::square_edge, 10.1) == 10.1);
    CHECK(ends(motion::EventKind::rough, 9.0) == 0.0);
    CHECK(ends(motion::EventKind::rough, 12.0) == 12.0);
    CHECK(ends(motion::EventKind::landing, 12.0) == 0.0);
    event.length = 0.5;
    CHECK(ends(motion::EventKind::bump, 9.5) == 0.0);
    CHECK(ends(motion::EventKind::bump, 9.75) == 10.25);
    event.count = 5;
    event.pitch = 2.0;
    CHECK(ends(motion::EventKind::bumps, 1.5) == 0.0); // 1.5 + 4 · 2 + 0.5
    CHECK(ends(motion::EventKind::bumps, 3.0) == 11.5);
    CHECK(ends(motion::EventKind::braking, 3.0) == 11.5);
    event.distance = {4.0, 9.0, 12.0}; // begins at `at`, wherever it was measured from
    event.heights = {0.0, 0.1, 0.0};
    CHECK(ends(motion::EventKind::profile, 2.0) == 0.0);
    CHECK(ends(motion::EventKind::profile, 3.0) == 11.0);
}
