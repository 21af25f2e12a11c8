#include <setup/files.hpp>
#include <setup/working_folder.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/goal.hpp>

#include <algorithm>

using namespace valve;
using setup::Goal;
using setup::Must;

TEST_CASE("a goal keeps its lines as they are written, an event beside its file", "[setup][goal]") {
    const Goal goal = Goal::parse("format: 1\n"
                                  "title: firmer in the end\n"
                                  "goal:\n"
                                  "  - {figure: damping_force, speed: 3 m/s, change: +10 %, within: 2 %}\n"
                                  "  - {figure: support_force, travel: 90 %, is: 1500 N}\n"
                                  "  - {figure: largest_void, frequency: 4 Hz, at_most: 0.1 ml}\n"
                                  "  - {figure: damping_force, speed: -1 m/s, keep: 2 %}\n"
                                  "  - {figure: balance_margin, speed: 1 m/s, at_least: 0 bar}\n"
                                  "  - {figure: peak_travel, event: events/landing.yaml, change: -10 mm}\n",
                                  "work/goal.yaml");
    CHECK(goal.title == "firmer in the end");
    CHECK(goal.path == "work/goal.yaml");
    REQUIRE(goal.lines.size() == 6);
    CHECK(goal.lines[0].key == "goal[1]");
    CHECK(goal.lines[0].figure.text() == "damping_force");
    CHECK(goal.lines[0].figure.key() == "goal[1].figure");
    CHECK(goal.lines[0].must == Must::change);
    CHECK(goal.lines[0].amount.text() == "+10 %");
    CHECK(goal.lines[0].within.value().text() == "2 %");
    CHECK(goal.lines[0].speed.value().text() == "3 m/s");
    CHECK_FALSE(goal.lines[0].event);
    CHECK(goal.lines[1].must == Must::is);
    CHECK(goal.lines[1].travel.value().text() == "90 %");
    CHECK(goal.lines[2].must == Must::at_most);
    CHECK(goal.lines[2].frequency.value().text() == "4 Hz");
    CHECK(goal.lines[3].must == Must::keep);
    CHECK(goal.lines[4].must == Must::at_least);
    CHECK(goal.lines[5].event.value().text() == "events/landing.yaml");
    CHECK(goal.lines[5].event_path == "work/events/landing.yaml");
    CHECK_THROWS_WITH(goal.lines[5].event.value().refuse("no such event"),
                      contains_text("work/goal.yaml:9:34: error: goal[6].event: no such event"));
}

TEST_CASE("a goal without a title bears the name of its file", "[setup][goal]") {
    const Folder folder;
    const Goal goal =
        Goal::load(folder.write("firm.yaml", "format: 1\ngoal: [{figure: friction, at_most: 20 N}]\n"));
    CHECK(goal.title == "firm.yaml");
    CHECK_THROWS_WITH(Goal::load(test_file("bad")), contains_text("it is a folder"));
}

// Each file below bad/goals holds one fault and stands beside the message it must give.
TEST_CASE("every wrong goal file gives its message", "[setup][goal][bad]") {
    const std::size_t files = check_bad_files(
        test_file("bad/goals"), [](const std::string& name) { static_cast<void>(Goal::load(name)); });
    CHECK(files >= 15);
}
