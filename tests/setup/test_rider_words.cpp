#include <setup/files.hpp>
#include <setup/working_folder.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/rider_words.hpp>

using namespace valve;
using setup::Heard;
using setup::RiderWords;

namespace {

RiderWords demo_words() {
    return RiderWords::load(std::string(VALVE_SOURCE_DIR) + "/stacks/words.yaml");
}

} // namespace

TEST_CASE("what a rider says is read by the table alone", "[setup][words]") {
    const Heard heard = setup::heard(" Dives,  small  bumps fine. ", demo_words());
    CHECK(heard.unknown.empty());
    REQUIRE(heard.goal.lines.size() == 3);
    CHECK(heard.goal.lines[0].figure.text() == "damping_force");
    CHECK(heard.goal.lines[0].amount.text() == "+15 %");
    CHECK(heard.means.size() == 2);
    CHECK(heard.goal.title == "Dives,  small  bumps fine.");
}

TEST_CASE("what the table does not know is asked about", "[setup][words]") {
    const Heard heard = setup::heard("dive; it feels nervous, bottoms out", demo_words());
    REQUIRE(heard.unknown == std::vector<std::string>{"dive", "it feels nervous"});
    CHECK_THAT(heard.hints[0], contains_text("dives"));
    CHECK(heard.hints[1].empty());
    CHECK(heard.goal.lines.size() == 1);
    CHECK(setup::heard("", demo_words()).goal.lines.empty());
}

TEST_CASE("where its event is ridden a saying asks what it says of that, and else what it said",
          "[setup][words]") {
    const std::string drop = std::string(VALVE_SOURCE_DIR) + "/stacks/events/../events/drop.yaml";
    const Heard ridden = setup::heard("bottoms, small bumps fine", demo_words(), {drop});
    REQUIRE(ridden.goal.lines.size() == 3);
    CHECK(ridden.goal.lines[0].figure.text() == "peak_travel");
    CHECK(ridden.goal.lines[0].event.has_value());
    CHECK(ridden.goal.lines[1].figure.text() == "damping_force"); // no pebble is ridden
    CHECK(setup::heard("bottoms", demo_words()).goal.lines[0].figure.text() == "support_force");

    CHECK(ridden.goal.unused_events.empty());
    const std::string land = "of-my-own/land.yaml"; // the table has no line over it
    const Heard other = setup::heard("bottoms", demo_words(), {drop, land});
    CHECK(other.goal.unused_events == std::vector<std::string>{land});
    CHECK(setup::heard("small bumps fine", demo_words(), {drop}).goal.unused_events ==
          std::vector<std::string>{drop});
}

// Each file below bad/words holds one fault and stands beside the message it must give.
TEST_CASE("every wrong table of words gives its message", "[setup][words][bad]") {
    const std::size_t files = check_bad_files(
        test_file("bad/words"), [](const std::string& name) { static_cast<void>(RiderWords::load(name)); });
    CHECK(files >= 6);
}
