#include <damper/poor_numbers.hpp>
#include <support/catch.hpp>
#include <valve/motion/event.hpp>
#include <valve/motion/ground.hpp>
#include <valve/motion/vehicle.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

// Every number of a vehicle, of an event and of what a run is asked with, set to what cannot be.

using namespace valve;
using namespace valve::testing;
using motion::Event;
using motion::EventKind;

namespace {

using Names = std::set<std::string>;

/// "path value" of those that `check_it` lets pass; the others have to be refused in words.
template <class Struct, class Check>
Names passed_of(const Struct& sound, const Check& check_it) {
    Names passed;
    REQUIRE(key_of(check_it(sound)) == "no error");
    each_poor(sound, [&](const Struct& changed, const std::string& path, double value, bool is_whole) {
        INFO(path << " = " << value);
        if (first_error(check_it(changed)) == nullptr)
            passed.insert(fmt::format("{} {:g}", path, value));
        else
            check_refused(check_it(changed), value, is_whole, path);
    });
    return passed;
}

/// Every number set to what fits any kind.
Event event_of(EventKind kind) {
    Event event;
    event.kind = kind;
    event.speed = 10.0;
    event.duration = 2.0;
    event.height = 0.1;
    event.length = 1.0;
    event.pitch = 3.0;
    event.count = 2;
    event.slope = 0.1;
    event.load_transfer = 100.0;
    event.roughness = 1e-4;
    event.distance = {0.0, 1.0, 2.0};
    event.heights = {0.0, 0.1, 0.0};
    return event;
}

/// Numbers that events of one kind alone have.
Names own_numbers(EventKind kind) {
    switch (kind) {
    case EventKind::bump:
    case EventKind::bumps:
    case EventKind::braking:
        return {"length", "pitch", "count"};
    case EventKind::rough:
        return {"roughness"};
    case EventKind::profile:
        return {"distance", "heights"};
    case EventKind::square_edge:
    case EventKind::landing:
        break;
    }
    return {};
}

constexpr double radius = 0.34; // of the wheel [m]

} // namespace

TEST_CASE("every number of a vehicle that cannot be is refused", "[motion][check]") {
    motion::Vehicle vehicle;
    vehicle.unsprung = 16.0;
    const Names passed = passed_of(vehicle, [](const motion::Vehicle& of) { return check(of); });
    // A tyre may have no loss, a wheel may be a point.
    CHECK(passed == Names{"tyre.damping 0", "tyre.radius 0"});
}

TEST_CASE("every number of the options of a cycle and of a ride that cannot be is refused",
          "[motion][check]") {
    CHECK(
        passed_of(motion::CycleOptions(), [](const motion::CycleOptions& of) { return check(of); }).empty());
    // A ride may leave its samples open.
    CHECK(passed_of(motion::RideOptions(), [](const motion::RideOptions& of) { return check(of); }) ==
          Names{"samples 0"});
}

TEST_CASE("every number of an event that cannot be is refused, or is none of that event's",
          "[motion][check]") {
    const Names of_all{"at 0", "height 0", "slope 0", "load_transfer 0", "load_transfer -1"};
    // The first point of a profile may lie anywhere, and any point as high or low.
    const Names of_profile{"distance 0", "distance -1", "heights 0", "heights -1"};
    const Names elsewhere{"length", "pitch", "count", "roughness", "distance", "heights"};
    for (const EventKind kind : motion::all_event_kinds) {
        INFO(name(kind));
        const Event sound = event_of(kind);
        const Names own = own_numbers(kind);
        const Names passed = passed_of(sound, [](const Event& of) { return check(of, radius); });
        for (const std::string& one : passed) {
            INFO(one);
            const std::string path = one.substr(0, one.find(' '));
            const bool is_anothers = elsewhere.contains(path) && !own.contains(path);
            CHECK((is_anothers || of_all.contains(one) ||
                   (kind == EventKind::profile && of_profile.contains(one)) ||
                   (kind == EventKind::landing && one == "speed 0")));
        }
        // What is another kind's changes nothing.
        const motion::Ground ground(sound, radius);
        each_poor(sound, [&](const Event& changed, const std::string& path, double value, bool) {
            if (!elsewhere.contains(path) || own.contains(path)) return;
            INFO(path << " = " << value);
            const motion::Ground same(changed, radius);
            for (const double s : {0.0, 1.5, 4.2, 19.0})
                CHECK(same.profile(s) == ground.profile(s));
        });
    }
}
