#include <support/catch.hpp>
#include <valve/motion/detail/rough_road.hpp>
#include <valve/motion/ground.hpp>
#include <valve/motion/stopped.hpp>

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdint>
#include <numbers>
#include <random>
#include <stop_token>
#include <vector>

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

TEST_CASE("a point rides over every bump, however short", "[motion][ground]") {
    Event event = event_of(EventKind::bumps);
    event.height = 20e-3;
    event.length = 1.5e-3;
    event.pitch = 0.1003;
    event.count = 30;
    const Ground ground(event, 0.0);
    REQUIRE(ground.bump_begins().size() == 30);
    REQUIRE(ground.breaks().size() == 62); // and both ends of the run
    for (std::size_t i = 0; i < 30; ++i) {
        const double from = event.at + static_cast<double>(i) * event.pitch;
        CAPTURE(i);
        CHECK_THAT(ground.breaks()[2 * i + 1], WithinAbs(from, 1e-12));
        CHECK_THAT(ground.breaks()[2 * i + 2], WithinAbs(from + event.length, 1e-12));
        CHECK_THAT(ground.bump_begins()[i], WithinAbs(from, 1e-12));
        CHECK_THAT(ground.at(2 * i + 1, from + 0.5 * event.length).value, WithinAbs(event.height, 1e-12));
        CHECK(ground.at(2 * i, from - 1e-6).value == 0.0);
    }
}

TEST_CASE("a row of bumps that is being laid out can be stopped", "[motion][ground]") {
    std::stop_source stop;
    stop.request_stop();
    CHECK_THROWS_AS(Ground(event_of(EventKind::bumps), 0.34, stop.get_token()), motion::Stopped);
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
    event.duration = 100.0;
    event.roughness = motion::roughness_of_class('C');
    const Ground ground(event, 0.0);
    constexpr double length = motion::rough_road_length; // all of it, whose waves lie 1/length apart
    constexpr int points = 80000;
    for (const int k : {101, 200, 999, 4000, 19999}) {
        const double wave = k / length;
        std::complex<double> sum = 0.0;
        for (int i = 0; i < points; ++i) {
            const double s = length * i / points;
            sum += ground.profile(s) * std::polar(1.0, -2.0 * std::numbers::pi * wave * s);
        }
        const double density = 2.0 * std::norm(sum / static_cast<double>(points)) * length;
        CAPTURE(wave);
        // G(n) = G_0 (n/0.1)^-2; class C has 256e-6 m³ at 0.1 cycles/m (ISO 8608, geometric mean from
        // memory).
        CHECK_THAT(density, WithinRel(256e-6 * (0.1 / wave) * (0.1 / wave), 1e-9));
    }
    CHECK(motion::roughness_of_class('A') == 16e-6);
    CHECK(motion::roughness_of_class('H') == 16e-6 * 16384.0);
    CHECK_THROWS_AS(motion::roughness_of_class('I'), std::invalid_argument);
}

TEST_CASE("a rough road is the sum of its sines", "[motion][ground]") {
    constexpr std::uint64_t number = 7;
    constexpr std::size_t points = 3000;
    const std::vector<double> heights = motion::detail::rough_heights(1.0, number, points, {});
    REQUIRE(heights.size() == points);
    for (const std::size_t j : {std::size_t{1}, std::size_t{2}, std::size_t{777}, points - 1}) {
        std::mt19937_64 random(number);
        double sum = 0.0;
        for (int k = 100; k <= 20000; ++k) { // 0.05 to 10 cycles/m in steps of 1/2000
            const double n = k / 2000.0;
            const double end = k == 100 || k == 20000 ? 0.5 : 1.0;
            const double amplitude = std::sqrt(2.0 * (0.1 / n) * (0.1 / n) * end / 2000.0);
            const double phase = 2.0 * std::numbers::pi * (static_cast<double>(random()) / 0x1p64);
            const double s = 5e-3 * static_cast<double>(j);
            sum += amplitude * (std::sin(2.0 * std::numbers::pi * n * s + phase) - std::sin(phase));
        }
        CAPTURE(j);
        CHECK_THAT(heights[j], WithinAbs(sum, 1e-12)); // of some 1 m
    }
}

TEST_CASE("a road is the same for one number and another for the next", "[motion][ground]") {
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

TEST_CASE("speed and duration ride parts of one road", "[motion][ground]") {
    Event event = event_of(EventKind::rough);
    event.roughness = 1024e-6;
    const Ground part(event, 0.3); // 10 m
    event.speed = 23.0;
    event.duration = 7.0;
    const Ground longer(event, 0.3);
    for (int i = 0; i < 211; ++i) {
        const double s = 10.0 * i / 211.0;
        CAPTURE(s);
        CHECK_THAT(part.profile(s), WithinAbs(longer.profile(s), 1e-13));
        CHECK_THAT(part.at(piece_at(part, s), s).value,
                   WithinAbs(longer.at(piece_at(longer, s), s).value, 1e-12));
    }
    // Where the road begins on the way makes no other of it.
    event.at = 4.0;
    const Ground later(event, 0.3);
    for (const double s : {0.1, 1.0, 3.3})
        CHECK_THAT(later.profile(4.0 + s), WithinAbs(longer.profile(1.0 + s), 1e-9));
}

TEST_CASE("a wheel sees a rough road as its rim does", "[motion][ground]") {
    constexpr double R = 0.34;
    Event event = event_of(EventKind::rough);
    event.roughness = 16e-6 * 256.0; // class E
    event.duration = 0.6;
    const Ground ground(event, R);
    double worst = 0.0; // between the places where it is exact
    for (int i = 1; i < 200; ++i) {
        const double s = 5e-3 * (6 * i);
        CAPTURE(s);
        CHECK_THAT(ground.at(piece_at(ground, s), s).value, WithinAbs(tried(ground, s, R), 2e-9));
        const double between = s + 2.3e-3;
        worst = std::max(
            worst, std::abs(ground.at(piece_at(ground, between), between).value - tried(ground, between, R)));
    }
    CHECK(worst < 2e-5);
    CHECK(ground.breaks().size() > 10);
    for (std::size_t i = 1; i + 1 < ground.breaks().size(); ++i) {
        const double s = ground.breaks()[i];
        CAPTURE(s);
        CHECK_THAT(ground.at(i, s).value, WithinAbs(ground.at(i - 1, s).value, 1e-11));
        CHECK(ground.at(i, s).slope > ground.at(i - 1, s).slope); // from one crest to the next
    }
}

TEST_CASE("a wheel sees walls and holes of a profile as its rim does", "[motion][ground]") {
    constexpr double R = 0.3;
    Event event = event_of(EventKind::profile);
    event.at = 1.0;
    event.distance = {0.0, 0.001, 0.5, 0.501, 0.7, 0.701, 1.2, 1.21, 2.5, 2.51, 3.0, 5.0, 5.5, 6.0};
    event.heights = {0.0, 0.1, 0.1, -0.4, -0.4, 0.1, 0.12, -0.5, -0.5, 0.0, 0.02, -0.2, 0.1, 0.0};
    const Ground ground(event, R);
    for (int i = 1; i < 500; ++i) {
        const double s = 5e-3 * (4 * i) - (i % 2 == 0 ? 0.0 : 5e-3);
        CAPTURE(s);
        // Tried places, 0.01 mm apart, miss the top of a wall by up to so much, at a slope of the rim of up
        // to 100.
        const double seen = tried(ground, s, R);
        const double there = ground.at(piece_at(ground, s), s).value;
        CHECK(there > seen - 1e-9);
        CHECK(there < seen + 1e-3);
    }
    for (std::size_t i = 1; i + 1 < ground.breaks().size(); ++i)
        CHECK_THAT(ground.at(i, ground.breaks()[i]).value,
                   WithinAbs(ground.at(i - 1, ground.breaks()[i]).value, 1e-10));
}

TEST_CASE("a road that is being made can be stopped", "[motion][ground]") {
    std::stop_source source;
    source.request_stop();
    Event event = event_of(EventKind::rough);
    event.roughness = 64e-6;
    CHECK_THROWS_AS(Ground(event, 0.3, source.get_token()), motion::Stopped);
    event = event_of(EventKind::profile);
    event.distance = {0.0, 1e4};
    event.heights = {0.0, 0.1};
    event.speed = 100.0;
    event.duration = 20.0;
    CHECK_THROWS_AS(Ground(event, 0.3, source.get_token()), motion::Stopped);
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
    // A slip of one point; a wall in two points and in many; a hole that the wheel rolls over; a steep ramp.
    event.distance = {0.0, 0.1, 0.2, 0.3, 1.0};
    event.heights = {0.005, 0.004, 5.0, 0.006, 0.005};
    CHECK(finds(event, "file"));
    event.distance = {0.0, 1.0, 1.08, 2.0};
    event.heights = {0.0, 0.0, 0.345, 0.345};
    CHECK(finds(event, "file"));
    event.heights = {0.0, 0.0, 0.335, 0.335};
    CHECK(motion::check(event, 0.34).empty());
    event.distance = {0.0, 1.0, 1.02, 1.04, 1.06, 1.08, 2.0};
    event.heights = {0.0, 0.0, 0.1, 0.2, 0.3, 0.4, 0.4};
    CHECK(finds(event, "file"));
    event.distance = {0.0, 1.0, 1.01, 1.5, 1.51, 2.0};
    event.heights = {0.0, 0.0, -0.5, -0.5, 0.0, 0.0};
    CHECK(motion::check(event, 0.34).empty());
    event.distance = {0.0, 1.0, 2.0};
    event.heights = {0.0, 0.0, 3.0};
    CHECK(motion::check(event, 0.34).empty());
    event = event_of(EventKind::rough);
    event.roughness = 64e-6;
    event.duration = 200.1; // at 10 m/s from 1 m on: the road repeats after 2 km
    CHECK(motion::check(event, 0.34).empty());
    event.duration = 200.2;
    CHECK(finds(event, "duration"));
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
