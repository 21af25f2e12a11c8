#include <setup/files.hpp>
#include <setup/working_folder.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/event.hpp>

using namespace valve;
using motion::EventKind;
using setup::EventFile;

TEST_CASE("an event is read with its units, and what it leaves out is told", "[setup][event]") {
    const EventFile file =
        EventFile::parse("format: 1\n"
                         "title: stones\n"
                         "event: {kind: bumps, height: 60 mm, length: 0.6 m, pitch: 200 cm, "
                         "count: 8, speed: 12 m/s, duration: 2.4 s}\n",
                         "stones.yaml");
    CHECK(file.event.title == "stones");
    CHECK(file.event.kind == EventKind::bumps);
    CHECK(file.event.height == 0.06);
    CHECK(file.event.pitch == 2.0);
    CHECK(file.event.count == 8);
    CHECK(file.event.at == 1.0);
    REQUIRE(file.defaults.size() == 1);
    CHECK(file.defaults.front().key == "event.at");
    CHECK(file.defaults.front().value == "1 m");
    CHECK(EventFile::parse("format: 1\nevent: {kind: landing, height: 900 mm, duration: 1 s}", "a/drop.yaml")
              .event.title == "drop");
}

TEST_CASE("a class of road is its roughness", "[setup][event]") {
    const auto roughness = [](const std::string& says) {
        return EventFile::parse("format: 1\nevent: {kind: rough, speed: 20 m/s, duration: 1 s, " + says + "}",
                                "road.yaml")
            .event.roughness;
    };
    CHECK(roughness("class: C") == roughness("roughness: 256e-6 m3"));
}

TEST_CASE("a profile is read from the file beside the event", "[setup][event]") {
    const Folder folder;
    folder.write("track.csv", "s [m];z [mm]\n0;0\n1;20\n2;-10\n");
    const std::string path = folder.write(
        "track.yaml", "format: 1\n"
                      "event: {kind: profile, file: track.csv, columns: \"distance=s,height=z\", "
                      "speed: 10 m/s, duration: 1 s}\n");
    const EventFile file = EventFile::load(path);
    CHECK(file.profile == (std::filesystem::path(path).parent_path() / "track.csv").string());
    CHECK(file.event.distance == std::vector<double>{0.0, 1.0, 2.0});
    CHECK(file.event.heights == std::vector<double>{0.0, 0.02, -0.01});
    folder.write("track.csv", "z [mm];s [m]\n0;0\n20;1\n-10; 1\n");
    CHECK_THROWS_WITH(EventFile::load(path),
                      contains_text("track.csv:4:6: error: the distance does not rise") &&
                          contains_text("    4 | -10; 1\n      |      ^"));
    folder.write("track.csv", "z [mm];s [m]\n0;0\n");
    CHECK_THROWS_WITH(EventFile::load(path), contains_text("track.csv:2:1: error: a profile needs 2 lines"));
    folder.write("track.csv", "x [m];z [mm]\n0;0\n1;20\n");
    CHECK_THROWS_WITH(
        EventFile::load(path),
        contains_text("track.csv:1:1: error: no column 's' in the head") &&
            contains_text("as in columns: \"distance=s[m],height=-depth[mm]\", a key of the event"));
    const std::string wrong = folder.write(
        "wrong.yaml", "format: 1\n"
                      "event: {kind: profile, file: track.csv, columns: nonsense, speed: 10 m/s, "
                      "duration: 1 s}\n");
    CHECK_THROWS_WITH(EventFile::load(wrong),
                      contains_text("wrong.yaml:2:50: error: event.columns: 'nonsense' does not begin with"));
}

TEST_CASE("the example of columns in the message of a profile reads as it stands", "[setup][event]") {
    const Folder folder;
    folder.write("track.csv", "s;depth\n0;0\n1;20\n");
    const std::string path = folder.write(
        "track.yaml", "format: 1\n"
                      "event: {kind: profile, file: track.csv, columns: \"distance=s[m],height=-depth[mm]\", "
                      "speed: 10 m/s, duration: 1 s}\n");
    CHECK(EventFile::load(path).event.heights == std::vector<double>{0.0, -0.02});
    CHECK(EventFile::parse(
              "format: 1\nevent: {kind: bump, height: 20 mm, length: 1 m, speed: 10 m/s, duration: "
              "1 s}",
              "bump.yaml")
              .profile.empty());
}

// Each file below bad/events holds one fault and stands beside the message it must give.
TEST_CASE("every wrong event gives its message", "[setup][event][bad]") {
    const std::size_t files = check_bad_files(
        test_file("bad/events"), [](const std::string& name) { static_cast<void>(EventFile::load(name)); });
    CHECK(files >= 12);
}
