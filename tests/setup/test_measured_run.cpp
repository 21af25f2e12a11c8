#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/measured_run.hpp>

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string>

using namespace valve;
using damper::MeasuredForce;

namespace {

damper::MeasuredRun run_of(const std::string& text, const std::string& columns = "") {
    const Folder folder;
    return setup::read_run(folder.write("run.csv", text), columns);
}

std::string message_of(const std::string& text, const std::string& columns = "") {
    try {
        run_of(text, columns);
    } catch (const InputError& error) {
        return error.what();
    }
    return "no message";
}

} // namespace

TEST_CASE("a run is read with commas, semicolons or tabs, and the mean taken at each speed", "[setup][run]") {
    for (const std::string separator : {",", ";", "\t"}) {
        const damper::MeasuredRun run =
            run_of("# a comment\r\nforce [N]" + separator + " speed [m/s]\r\n\r\n100" + separator +
                   "1\r\n-40" + separator + "-0.5\r\n110" + separator + "1\r\n");
        CHECK(run.kind == MeasuredForce::rod);
        REQUIRE(run.points.size() == 2);
        CHECK(run.points[0] == damper::MeasuredPoint{-0.5, -40.0, 1});
        CHECK(run.points[1] == damper::MeasuredPoint{1.0, 105.0, 2});
    }
}

TEST_CASE("decimal commas are read where commas do not part the cells", "[setup][run]") {
    for (const std::string separator : {";", "\t"}) {
        const damper::MeasuredRun run =
            run_of("speed [m/s]" + separator + "force [N]\n0,5" + separator + "-40,25\n", "");
        REQUIRE(run.points.size() == 1);
        CHECK(run.points[0] == damper::MeasuredPoint{0.5, -40.25, 1});
    }
    CHECK_THAT(message_of("speed [m/s];force [N]\n0,5;1.000,5\n", ""),
               contains_text("'1.000,5' is not a number"));
    CHECK_THAT(message_of("speed [m/s];force [N]\n0,5;1,000,5\n", ""),
               contains_text("'1,000,5' is not a number"));
}

TEST_CASE("columns are named with their units, and a minus turns a sign", "[setup][run]") {
    const std::string table = "time,velocity,\"load [lbf]\"\n0,10,-2\n1,-20,4\n";
    const damper::MeasuredRun run = run_of(table, "speed=-velocity[in/s], damping=-load");
    CHECK(run.kind == MeasuredForce::damping);
    REQUIRE(run.points.size() == 2);
    CHECK_THAT(run.points[0].speed, WithinRel(-0.254, 1e-14));         // 1 in = 25.4 mm
    CHECK_THAT(run.points[0].force, WithinRel(8.896443230521, 1e-12)); // 1 lbf = 4.4482216152605 N
    CHECK_THAT(run.points[1].speed, WithinRel(0.508, 1e-14));
    // The unit asked for wins over that in the head.
    CHECK_THAT(run_of(table, "speed=velocity[mm/s],force=load[N]").points[0].force, WithinRel(4.0, 1e-14));
}

TEST_CASE("of a loop each way is kept, at the same speed too", "[setup][run]") {
    std::string text = "speed [m/s];force [N]\n";
    for (int i = 0; i <= 40; ++i) { // a rod that swings, and a force that lags: more while it loses speed
        const double phase = 2.0 * std::numbers::pi * i / 40.0;
        text += fmt::format("{:.6f};{:.3f}\n", std::sin(phase), 100.0 * std::sin(phase - 0.2));
    }
    const damper::MeasuredRun loop = run_of(text);
    int pairs = 0;
    for (std::size_t i = 1; i < loop.points.size(); ++i) {
        const damper::MeasuredPoint& gaining = loop.points[i - 1];
        const damper::MeasuredPoint& losing = loop.points[i];
        REQUIRE(gaining.way.has_value());
        if (gaining.speed != losing.speed) continue;
        ++pairs;
        CHECK(gaining.way == damper::SpeedTrend::gaining);
        CHECK(losing.way == damper::SpeedTrend::losing);
        if (std::abs(gaining.speed) > 0.1) CHECK(std::abs(losing.force) > std::abs(gaining.force) + 1.0);
    }
    CHECK(pairs > 10);
    // The same speeds in another order are a table.
    const damper::MeasuredRun table = run_of("speed [m/s];force [N]\n0.5;10\n-0.5;-10\n0.5;12\n");
    REQUIRE(table.points.size() == 2);
    CHECK(table.points[1] == damper::MeasuredPoint{0.5, 11.0, 2});
}

TEST_CASE("rows are a loop where there are many, each near the one before", "[setup][run]") {
    // To and fro between -1 and 1 m/s, by steps of no more than `step`.
    const auto is_loop = [](double step, int rows) {
        std::string text = "speed [m/s];force [N]\n";
        double speed = 0.0;
        double way = step;
        for (int i = 0; i < rows; ++i) {
            text += fmt::format("{:.3f};10\n", speed);
            if (std::abs(speed + way) > 1.0) way = -way;
            speed += way;
        }
        return run_of(text).points.front().way.has_value();
    };
    CHECK(is_loop(0.25, 16));
    CHECK_FALSE(is_loop(0.25, 15));
    // Of the fastest, three steps up, a step is a third; four steps up, a quarter.
    CHECK_FALSE(is_loop(0.33, 24));
}

TEST_CASE("a trace is read with its units, times from 0 on", "[setup][run]") {
    const Folder folder;
    const auto trace = [&](const std::string& text, const std::string& columns = "") {
        return setup::read_trace(folder.write("trace.csv", text), columns);
    };
    const setup::Trace read = trace("t;x [mm]\n100;10\n110;12,5\n120;11\n130;9\n", "time=t[ms], travel=-x");
    REQUIRE(read.times.size() == 4);
    CHECK_THAT(read.times.back(), WithinRel(0.03, 1e-12));
    CHECK_THAT(read.travels[1], WithinRel(-12.5e-3, 1e-12));
    CHECK_THROWS_WITH(trace("time [s];travel [mm]\n0;1\n1;1\n1;1\n2;1\n"),
                      contains_text("trace.csv:4:1: error: the time does not rise from the line before"));
    CHECK_THROWS_WITH(trace("time [s];travel [mm]\n0;1\n1;1\n"), contains_text("needs 4 lines"));
    // 20 mm in 0.1 us; 99 and 101 m/s.
    CHECK_THROWS_WITH(trace("time [s];travel [mm]\n0;1\n1;1\n1.0000001;21\n2;1\n"),
                      contains_text("trace.csv:4:11: error: the travel is reached from the line before at "
                                    "2e+05 m/s; a rod speed is no more than 100 m/s"));
    CHECK_NOTHROW(trace("time [ms];travel [mm]\n0;0\n1;99\n2;0\n3;0\n"));
    CHECK_THROWS_WITH(trace("time [ms];travel [mm]\n0;0\n1;0\n2;0\n3;-101\n"),
                      contains_text(".csv:5:3: error: the"));
    CHECK_THROWS_WITH(trace("travel [mm];time [s]\n0;0\n1;1\n10;1\n2;3\n"),
                      contains_text("trace.csv:4:4: error: the time does not rise"));
    CHECK_THROWS_WITH(trace("time [s];travel [s]\n0;1\n"), contains_text("'s' is no unit of a length"));
    CHECK_THROWS_WITH(trace("time [s];way [mm]\n0;1\n"), contains_text("as in time=t[ms],travel="));
}

TEST_CASE("a trace ends within an hour and ten metres", "[setup][run]") {
    const Folder folder;
    const auto last = [&](const std::string& line) {
        return setup::read_trace(
            folder.write("trace.csv", "time [s];travel [m]\n0;0\n1;0\n2;0\n" + line + "\n"), "");
    };
    CHECK_NOTHROW(last("3600;10"));
    CHECK_THROWS_WITH(last("3601;0"), contains_text("trace.csv:5:1: error: time: "));
    CHECK_THROWS_WITH(last("3600;10.1"), contains_text("trace.csv:5:6: error: travel: "));
}

TEST_CASE("a profile ends within a thousand kilometres and a kilometre of height", "[setup][run]") {
    const Folder folder;
    const auto last = [&](const std::string& line) {
        return setup::read_profile(folder.write("road.csv", "distance [m];height [m]\n0;0\n" + line + "\n"),
                                   "");
    };
    CHECK_NOTHROW(last("1000000;1000"));
    CHECK_THROWS_WITH(last("1000001;0"), contains_text("road.csv:3:1: error: distance: "));
    CHECK_THROWS_WITH(last("1000;-1001"), contains_text("road.csv:3:6: error: height: "));
}

TEST_CASE("a run that cannot be read says where", "[setup][run]") {
    const std::string head = "speed [m/s];force [N]\n";
    const std::string comma = message_of(head + "0.1;12\n0.2;1.012,5\n");
    CHECK_THAT(comma, contains_text("run.csv:3:5: error: force: '1.012,5' is not a number: use a point"));
    CHECK_THAT(comma, contains_text("    3 | 0.2;1.012,5\n      |     ^"));
    CHECK_THAT(
        message_of("speed [m/s],force [N]\n0,1,12,5\n"),
        contains_text("run.csv:2:5: error: this line has 4 cells, the head 2: are these decimal commas?"));
    CHECK_THAT(message_of(head + "0.1\n"),
               contains_text("run.csv:2:1: error: this line has 1 cells, the head 2"));
    CHECK_THAT(message_of("speed [m/s];force [N];note\n0.1;12\n"),
               contains_text("run.csv:2:5: error: this line has 2 cells, the head 3"));
    CHECK_THAT(message_of(head), contains_text("no line with numbers"));
    CHECK_THAT(message_of(head + "100;1000000\n"), contains_text("no message"));
    CHECK_THAT(message_of(head + "100.1;12\n"), contains_text("run.csv:2:1: error: speed: "));
    CHECK_THAT(message_of(head + "0.1;1000001\n"), contains_text("run.csv:2:5: error: force: "));
    CHECK_THAT(message_of(""), contains_text("no line with numbers"));
    CHECK_THAT(
        message_of("speed [m/s];farce [N]\n1;2\n"),
        contains_text("run.csv:1:1: error: no column 'force' in the head; did you mean 'farce'? Say which"));
    CHECK_THAT(message_of("speed;force [N]\n1;2\n"),
               contains_text("run.csv:1:1: error: no unit for 'speed'"));
    CHECK_THAT(message_of("speed [m/s];force [bar]\n1;2\n"),
               contains_text("run.csv:1:13: error: 'bar' is no unit of a force"));
    CHECK_THAT(message_of("speed [m/s];force [N];force [N]\n1;2;3\n"),
               contains_text("run.csv:1:23: error: two columns 'force'"));
    CHECK_THROWS_WITH(setup::read_run("no-such-run.csv"), contains_text("cannot be read"));
}

TEST_CASE("a mapping of columns that says something else is refused", "[setup][run]") {
    const auto refused = [](const std::string& columns) { return message_of("speed [m/s]\n1\n", columns); };
    CHECK_THAT(refused("speed=a"), contains_text("one of force and damping is needed"));
    CHECK_THAT(refused("speed=a,force=b,damping=c"), contains_text("one of force and damping is needed"));
    CHECK_THAT(refused("force=b"), contains_text("speed is needed"));
    CHECK_THAT(refused("speed=a,speed=b,force=c"), contains_text("speed is said twice"));
    CHECK_THAT(refused("velocity=a,force=c"), contains_text("'velocity=a' does not begin with speed="));
    CHECK_THAT(refused("speed=[m/s],force=c"), contains_text("names no column"));
}
