#include <support/catch.hpp>
#include <valve/report/rider.hpp>

using namespace valve;
using namespace valve::report;
using study::Figure;
using study::Quantity;
using study::RiderRule;

namespace {

std::string changed(RiderRule rule, const Figure& from, const Figure& to, double noticed = 1.0) {
    study::Change change{from, to};
    change.noticed = noticed;
    return sentence({rule, noticed, 1.0, std::nullopt, change}, "fork", 4.0);
}

} // namespace

TEST_CASE("remarks on a set-up read as sentences", "[report]") {
    CHECK_THAT(sentence({RiderRule::hollow_return, 1.9, 2.0}, "fork", 4.0),
               contains_text("from 1.9 m/s on the way out a void"));
    CHECK_THAT(sentence({RiderRule::follows, std::nullopt, 4.0}, "shock", 4.0),
               contains_text("The oil follows the shock on its way out at any speed up to 4.0 m/s"));
    CHECK_THAT(sentence({RiderRule::rod_valve_leads, 2.45}, "fork", 4.0),
               contains_text("At 2.5 m/s and faster the valve on the rod takes more pressure than the one at "
                             "the foot: the space round the rod nears empty."));
    CHECK(sentence({RiderRule::settles, 0.257, std::nullopt, 0.077}, "fork", 4.0) ==
          "With you on it the fork settles 77 mm, 26 % of its travel; that is as usual.");
    CHECK(
        sentence({RiderRule::settles, 0.38, 0.35, 0.044, std::nullopt, 0.117}, "shock", 4.0) ==
        "With you on it the wheel settles 117 mm, 38 % of its travel (44 mm at the shock); that is more than "
        "usual: it rides low.");
    CHECK_THAT(sentence({RiderRule::settles, 0.2, 0.25, 0.06}, "fork", 4.0), contains_text("rides high"));
    CHECK_THAT(sentence({RiderRule::settles, 0.4, 0.35, 0.12}, "fork", 4.0), contains_text("rides low"));
    CHECK_THAT(sentence({RiderRule::sticks, 0.07, 0.05, 68.0}, "fork", 4.0),
               contains_text("It takes 68 N to make it move, 7 % of what it carries"));
}

TEST_CASE("remarks on a change read as sentences", "[report]") {
    CHECK(
        changed(RiderRule::return_changed, {Quantity::void_onset_rebound, {}, 1.3, ""},
                {Quantity::void_onset_rebound, {}, {}, ""}) ==
        "In a series of hits it keeps following the ground longer, its strokes hollow later (not up to 4 m/s "
        "of the rod, before from 1.30 m/s).");
    CHECK(changed(RiderRule::lead_changed, {Quantity::balance_negative_from, {}, {}, ""},
                  {Quantity::balance_negative_from, {}, 1.18, ""}) ==
          "Hard hits feel dull and stiff, and clicks at the foot do little there, sooner than before (from "
          "1.18 "
          "m/s of the rod, before not up to 4 m/s).");
    CHECK(changed(RiderRule::turn_changed, {Quantity::void_onset_compression, {}, {}, ""},
                  {Quantity::void_onset_compression, {}, 3.21, ""}) ==
          "After hard hits it starts back undamped for a moment sooner (from 3.21 m/s of the rod, before not "
          "up to 4 m/s).");
    CHECK(changed(RiderRule::hanging_changed, {Quantity::void_onset_near_extension_rebound, {}, 0.5, ""},
                  {Quantity::void_onset_near_extension_rebound, {}, 0.0, ""}) ==
          "After a drop, wheel hanging, its first stroke runs hollow sooner (from the first movement of the "
          "rod, "
          "before from 0.50 m/s).");
    CHECK(changed(RiderRule::damping_changed, {Quantity::damping_force, -1.0, -300.0, ""},
                  {Quantity::damping_force, -1.0, -360.0, ""}) ==
          "It comes back more slowly at ordinary bumps (+20 % of force).");
    CHECK(changed(RiderRule::damping_changed, {Quantity::damping_force, 3.0, 500.0, ""},
                  {Quantity::damping_force, 3.0, 400.0, ""}) ==
          "It gives way more easily at hard hits (-20 % of force).");
    CHECK(changed(RiderRule::support_changed, {Quantity::support_force, {}, 4000.0, "", 0.9},
                  {Quantity::support_force, {}, 4400.0, "", 0.9}) ==
          "It is carried higher and stiffer in the last part of the travel (+10 %).");
    CHECK(changed(RiderRule::last_part_changed, {Quantity::support_force, {}, 8000.0, "", 1.0},
                  {Quantity::support_force, {}, 8240.0, "", 1.0}) ==
          "The last part of the travel is firmer (+3.0 % at 100 % of it), the first as before.");
    CHECK(
        changed(RiderRule::friction_changed, {Quantity::breakaway, {}, 68.0, ""},
                {Quantity::breakaway, {}, 34.0, ""}) ==
        "It moves more freely (friction before it moves 68 N, now 34 N): small stones are swallowed better.");
    CHECK_THAT(changed(RiderRule::friction_changed, {Quantity::felt_reservoir_friction, {}, 2.0, ""},
                       {Quantity::felt_reservoir_friction, {}, 0.0, ""}),
               contains_text("The reservoir rubs less on the rod (2 N, now 0 N)"));
    CHECK(changed(RiderRule::hit_changed, {Quantity::hit_travel, {}, 0.25, ""},
                  {Quantity::hit_travel, {}, 0.255, ""}) ==
          "The same hit uses more travel (250.0 mm, now 255.0 mm).");
    study::Figure held{Quantity::hit_travel, {}, 0.25, ""};
    study::Figure ended{Quantity::hit_travel, {}, 0.3, ""};
    ended.energy_left = 177.4;
    CHECK(changed(RiderRule::hit_changed, held, ended) ==
          "The same hit uses all travel, 300.0 mm, and 177 J of it are left; before, 250.0 mm.");
    CHECK(
        changed(RiderRule::hit_changed, ended, held) ==
        "The same hit no longer uses all travel: 250.0 mm; before, all travel, 300.0 mm, and 177 J of it are "
        "left.");
    CHECK(changed(RiderRule::dead_travel_changed, {Quantity::dead_travel_rebound, {}, 0.89e-3, "", {}, 12.0},
                  {Quantity::dead_travel_rebound, {}, 25.7e-3, "", {}, 12.0}) ==
          "On its way back it moves further before its damping is there (at 12 Hz 0.89 mm, now 25.70 mm).");
    CHECK(changed(RiderRule::figure_changed, {Quantity::peak_force_compression, {}, 400.0, "", {}, 4.0},
                  {Quantity::peak_force_compression, {}, 480.0, "", {}, 4.0}, 4.0) ==
          "What changes most is peak force in a cycle, compression at 4 Hz, 400 N → 480 N: 4.0 steps that a "
          "rider notices.");
    CHECK(changed(RiderRule::small_change, {Quantity::damping_force, 1.0, 226.0, ""},
                  {Quantity::damping_force, 1.0, 228.0, ""}, 0.177) ==
          "Little: what moves most is damping force on compression at 1 m/s, 226 N → 228 N, 0.18 of the step "
          "that a rider notices.");
    CHECK(sentence({RiderRule::nothing_changed}, "fork", 4.0) == "Nothing is computed to have changed.");
    CHECK_THAT(rules_for_the_rider(),
               contains_text("2 m/s of rod speed") && contains_text("sag of 25 to 35 %"));
}
