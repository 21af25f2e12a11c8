#include <setup/working_folder.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/report/advise.hpp>
#include <valve/setup/rider_words.hpp>
#include <valve/study/goal.hpp>

#include <limits>

using namespace valve;
using namespace valve::study;
using setup::Must;

namespace {

constexpr double top_speed = 4.0;

Goal goal_of(const std::string& lines) {
    return resolve(setup::Goal::parse("format: 1\ngoal:\n" + lines, "goal.yaml"));
}

Figure figure(const FigureRequest& request, std::optional<double> value) {
    return {request.quantity,     request.speed,     value,        "",
            request.travel_share, request.frequency, request.event};
}

/// Target of the only line of a goal whose figure is `today`.
Target target(const std::string& line, std::optional<double> today) {
    const Goal goal = goal_of("  - " + line + "\n");
    return targets(goal, {figure(goal.lines[0].figure, today)}, top_speed).at(0);
}

LineError error(const Target& at, std::optional<double> value) {
    return error_of(at, figure(at.line.figure, value), top_speed).value();
}

} // namespace

TEST_CASE("the lines of a goal ask for figures of the one list", "[study][goal]") {
    const Goal goal = goal_of("  - {figure: damping_force, speed: 3 m/s, change: +10 %, within: 2 %}\n"
                              "  - {figure: refill_deficit, speed: -1, at_most: 0.3}\n"
                              "  - {figure: support_force_N, travel: 90 %, at_least: 1.5 kN}\n"
                              "  - {figure: support_energy, is: 600 J, within: 5 %}\n"
                              "  - {figure: void_onset_rebound, at_least: 6 m/s}\n");
    CHECK(goal.requests() == std::vector<FigureRequest>{{Quantity::damping_force, 3.0},
                                                        {Quantity::refill_deficit, -1.0},
                                                        {Quantity::support_force, std::nullopt, 0.9},
                                                        {Quantity::support_energy},
                                                        {Quantity::void_onset_rebound}});
    CHECK(goal.lines[0].amount.is_share);
    CHECK_THAT(goal.lines[0].amount.value, WithinRel(0.1, 1e-12));
    CHECK_THAT(goal.lines[1].amount.value,
               WithinRel(0.3e5, 1e-12)); // a bare number is in the unit of the figure
    CHECK_THAT(goal.lines[2].amount.value, WithinRel(1500.0, 1e-12));
    CHECK_THAT(goal.lines[3].amount.value, WithinRel(600.0, 1e-12));
    CHECK(goal.top_speed(4.0) == 6.0); // or nobody could say whether the last line is met
}

TEST_CASE("a change and what is kept are measured from today's value", "[study][goal]") {
    const Target change = target("{figure: damping_force, speed: 3 m/s, change: +10 %, within: 2 %}", 500.0);
    CHECK_THAT(change.low, WithinRel(540.0, 1e-12));
    CHECK_THAT(change.high, WithinRel(560.0, 1e-12));
    CHECK_THAT(change.step, WithinRel(25.0, 1e-12)); // 5 % of 500 N
    const LineError as_is = error(change, 500.0);
    CHECK_THAT(as_is.distance, WithinRel(-40.0, 1e-12));
    CHECK_THAT(as_is.steps, WithinRel(-1.6, 1e-12));
    CHECK_THAT(as_is.reached.value(), WithinAbs(0.0, 1e-12));
    CHECK_THAT(error(change, 520.0).reached.value(), WithinRel(0.5, 1e-12));
    CHECK_THAT(error(change, 480.0).reached.value(), WithinRel(-0.5, 1e-12));
    CHECK(error(change, 545.0).met());
    CHECK_THAT(error(change, 545.0).reached.value(), WithinRel(1.0, 1e-12));
    CHECK_THAT(error(change, 580.0).distance, WithinRel(20.0, 1e-12)); // too much of it
    CHECK_THAT(error(change, 580.0).reached.value(), WithinRel(0.5, 1e-12));

    const Target less = target("{figure: hit_travel, change: -10 mm}", 0.250);
    CHECK_THAT(less.low, WithinRel(0.235, 1e-12)); // within a step of 5 mm
    CHECK_THAT(less.high, WithinRel(0.245, 1e-12));

    const Target kept = target("{figure: damping_force, speed: 0.3 m/s, keep: 2 %}", 100.0);
    CHECK(error(kept, 101.5).met());
    CHECK_FALSE(error(kept, 101.5).reached); // it was met, and there is no way to go
    CHECK_THAT(error(kept, 103.0).distance, WithinRel(1.0, 1e-12));
    CHECK_THAT(target("{figure: largest_void, frequency: 4 Hz, keep: 2 %}", 0.0).high,
               WithinRel(0.02e-6, 1e-12)); // the smallest step that is read
}

TEST_CASE("a change may take all but a little away", "[study][goal]") {
    const Target nearly_all =
        target("{figure: damping_force, speed: 1 m/s, change: -99 %, within: 1 %}", 200.0);
    CHECK_THAT(nearly_all.high, WithinRel(4.0, 1e-12));
    CHECK_THROWS_WITH(target("{figure: damping_force, speed: 1 m/s, change: -100 %}", 200.0),
                      contains_text("takes all of it away"));
}

TEST_CASE("limits are open to one side", "[study][goal]") {
    const Target most = target("{figure: refill_deficit, speed: -1 m/s, at_most: 0.3 bar}", 1.2e5);
    CHECK(most.low == -std::numeric_limits<double>::infinity());
    CHECK(error(most, 0.1e5).met());
    CHECK_THAT(error(most, 1.2e5).steps, WithinRel(9.0, 1e-12)); // of 0.1 bar
    CHECK_THAT(error(most, 0.75e5).reached.value(), WithinRel(0.5, 1e-12));

    const Target least = target("{figure: void_onset_rebound, at_least: 2 m/s}", 1.0);
    CHECK(error(least, std::nullopt).met()); // none up to the top speed
    CHECK_THAT(error(least, 1.5).distance, WithinRel(-0.5, 1e-12));
    CHECK(target("{figure: void_onset_rebound, at_least: 2 m/s}", std::nullopt).today == top_speed);
}

TEST_CASE("a line that is never to be worse than today is no way to the goal where it is", "[study][goal]") {
    Target most = target("{figure: refill_deficit, speed: -1 m/s, at_most: 0.3 bar}", 1.2e5);
    CHECK_THAT(error(most, 1.4e5).steps, WithinRel(11.0, 1e-12));
    most.line.never_worse = true;
    CHECK(error(most, 1.4e5).steps == std::numeric_limits<double>::infinity());
    CHECK_THAT(error(most, 1.1e5).steps, WithinRel(8.0, 1e-12));
    CHECK_THAT(error(most, 1.205e5).steps, WithinRel(9.05, 1e-12)); // nobody can read it
    CHECK(error(most, 0.2e5).met());
}

TEST_CASE("forces that are negative by the sign convention are asked for by their size", "[study][goal]") {
    const Target firmer =
        target("{figure: damping_force, speed: -1 m/s, change: +10 %, within: 1 %}", -300.0);
    CHECK_THAT(firmer.today, WithinRel(300.0, 1e-12));
    CHECK(error(firmer, -330.0).met());
    CHECK_THAT(error(firmer, -290.0).distance, WithinRel(-37.0, 1e-12));
    for (const char* written : {"280 N", "-280 N"})
        CHECK(error(target("{figure: damping_force, speed: -1 m/s, at_least: " + std::string(written) + "}",
                           -300.0),
                    -290.0)
                  .met());
    // So is that of a cup whose plug leaves it; one that enters and pulls would be no cup.
    CHECK(error(target("{figure: end_force, speed: -1 m/s, travel: 2 %, at_least: 200 N}", -300.0), -290.0)
              .met());
    CHECK_FALSE(
        error(target("{figure: end_force, speed: 1 m/s, travel: 98 %, at_least: 200 N}", 300.0), -290.0)
            .met());
    // A margin is below zero for a reason.
    CHECK_FALSE(
        error(target("{figure: balance_margin, speed: 1 m/s, at_least: 0.1 bar}", -1e5), -0.5e5).met());
}

TEST_CASE("a line over an event is read beside the goal file, its shares as values where they are limits",
          "[study][goal][ride]") {
    const std::string drop = std::string(VALVE_SOURCE_DIR) + "/stacks/events/drop.yaml";
    const Goal goal =
        goal_of("  - {figure: peak_travel, event: " + drop + ", change: -10 mm, within: 1 mm}\n" +
                "  - {figure: off_ground_share, event: " + drop + ", at_most: 5 %}\n" +
                "  - {figure: off_ground_share, event: " + drop + ", keep: 10 %}\n" +
                "  - {figure: closing_speed, event: " + drop + ", at_most: 0.5 m/s}\n" +
                "  - {figure: rms_acceleration, event: " + drop + ", at_most: 12 m/s2}\n");
    REQUIRE(goal.events().size() == 1);
    CHECK(goal.events().front()->event.title == "Drop off a step");
    CHECK(goal.lines[0].figure.event == goal.events().front());
    CHECK_FALSE(goal.lines[1].amount.is_share);
    CHECK_THAT(goal.lines[1].amount.value, WithinRel(0.05, 1e-12));
    CHECK(goal.lines[2].amount.is_share);
    CHECK(goal.top_speed(4.0) == 4.0); // of onsets alone
    // A stop that is not met is met at no speed.
    const Target soft =
        targets({"", "", {goal.lines[3]}}, {figure(goal.lines[3].figure, std::nullopt)}, top_speed).at(0);
    CHECK(error(soft, std::nullopt).met());
    CHECK_THAT(error(soft, 0.7).distance, WithinRel(0.2, 1e-12));
}

TEST_CASE("a figure that is not solved has no error, and today's has to be known for a change",
          "[study][goal]") {
    const Goal goal = goal_of("  - {figure: damping_force, speed: 1 m/s, change: +10 %}\n");
    Figure unsolved = figure(goal.lines[0].figure, std::nullopt);
    unsolved.error = "beyond the lift curve";
    CHECK_THROWS_WITH(targets(goal, {unsolved}, top_speed),
                      contains_text("goal[1]: damping_force as it is today could not be solved: beyond"));
    const Target at = targets(goal, {figure(goal.lines[0].figure, 100.0)}, top_speed).at(0);
    CHECK_FALSE(error_of(at, unsolved, top_speed));

    const Goal limit = goal_of("  - {figure: damping_force, speed: 1 m/s, at_most: 90 N}\n");
    const Target open = targets(limit, {unsolved}, top_speed).at(0);
    CHECK_FALSE(open.today_known);
    CHECK_THAT(error(open, 100.0).distance, WithinRel(10.0, 1e-12));
    CHECK_FALSE(error(open, 100.0).reached);
}

// Each file below bad_goals holds one fault and stands beside the message it must give.
TEST_CASE("every goal that asks what no figure answers gives its message", "[study][goal][bad]") {
    const std::size_t files =
        check_bad_files(std::string(VALVE_SOURCE_DIR) + "/tests/study/bad_goals",
                        [](const std::string& name) { static_cast<void>(resolve(setup::Goal::load(name))); });
    CHECK(files >= 15);
}

TEST_CASE("a change that a rider asks for is one that he notices, and says what stands in its place",
          "[study][goal][words]") {
    const auto said = [](const std::string& line, double today) {
        const setup::RiderWords words = setup::RiderWords::parse(
            "format: 1\nwords:\n  - said: [it]\n    goal: [" + line + "]\n", "words.yaml");
        const Goal goal = resolve(setup::heard("it", words).goal);
        return targets(goal, {figure(goal.lines[0].figure, today)}, top_speed).at(0);
    };
    const std::string more = "{figure: damping_force, speed: 0.1 m/s, change: +15 %, within: 5 %}";
    const Target small = said(more, 32.0); // 4.8 N, of which nobody notices anything
    CHECK(small.step == 10.0);
    CHECK_THAT(small.low, WithinRel(42.0 - 1.6, 1e-12));
    CHECK_THAT(small.high, WithinRel(42.0 + 1.6, 1e-12));
    CHECK(small.line.amount.value == 10.0);
    CHECK_FALSE(small.line.amount.is_share);
    REQUIRE(small.line.written);
    CHECK_THAT(small.line.written->value, WithinRel(0.15, 1e-12));
    CHECK_THAT(
        report::words(small.line),
        contains_text("change by +10 N (as much as a rider notices; +15 % is less), give or take 5 %"));
    const Target large = said(more, 500.0);
    CHECK_THAT(large.low, WithinRel(550.0, 1e-12));
    CHECK_FALSE(large.line.written);
    const Target less = said("{figure: damping_force, speed: -1 m/s, change: -15 %, within: 5 %}", -40.0);
    CHECK_THAT(less.high, WithinRel(40.0 - 10.0 + 2.0, 1e-12));       // its size counts
    CHECK_THAT(target(more, 32.0).low, WithinRel(32.0 * 1.1, 1e-12)); // a goal file says what it wants
}

TEST_CASE("every saying of the demo's table asks for figures that there are", "[study][goal][words]") {
    const setup::RiderWords words =
        setup::RiderWords::load(std::string(VALVE_SOURCE_DIR) + "/stacks/words.yaml");
    CHECK(words.sayings.size() >= 10);
    for (const setup::RiderSaying& saying : words.sayings) {
        INFO(saying.said.front());
        CHECK_FALSE(saying.means.empty());
        CHECK(resolve({words.path, "", saying.lines}).lines.size() == saying.lines.size());
        CHECK(resolve({words.path, "", saying.on_events}).events().size() == saying.on_events.size());
    }
}
