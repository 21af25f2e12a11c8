#include <program/run.hpp>
#include <support/catch.hpp>
#include <valve/report/text.hpp>

#include <algorithm>
#include <regex>
#include <sstream>

using namespace valve::tests;

namespace {

const std::string found = "stacks/rally-fork.yaml";

} // namespace

TEST_CASE("help lists the commands, one an indented line, and says the cautions", "[program]") {
    const Run help = run("--help");
    CHECK(help.status == 0);
    CHECK(help.err.empty());
    for (const char* command : {"inspect", "lift", "modes", "curve", "compare", "support", "cycle", "report",
                                "keys", "advise", "diagnose", "ride", "search"})
        CHECK(std::regex_search(help.out, std::regex("(^|\n) {1,4}" + std::string(command) + "\\s")));
    CHECK_THAT(help.out, contains_text("maker's manual"));
    CHECK_THAT(help.out, contains_text("test ride"));
}

TEST_CASE("each command's help teaches with an example that fits a terminal", "[program]") {
    for (const char* command : {"inspect", "lift", "modes", "curve", "compare", "support", "cycle", "report",
                                "advise", "diagnose", "ride", "search"}) {
        const Run help = run(std::string(command) + " --help");
        CHECK(help.status == 0);
        CHECK_THAT(help.out, contains_text("Usage: valve " + std::string(command)));
        CHECK_THAT(help.out, contains_text("Example:\n  valve " + std::string(command) + " stacks/"));
        std::istringstream lines(help.out);
        for (std::string line; std::getline(lines, line);)
            CHECK(valve::report::width(line) <= 100);
    }
}

TEST_CASE("a slip of a command or an option is told with the nearest", "[program]") {
    const auto message = [](const std::string& arguments) {
        const Run wrong = run(arguments);
        CHECK(wrong.status == 2);
        return wrong.err;
    };
    CHECK_THAT(message("crve " + found), contains_text("did you mean 'curve'?"));
    CHECK_THAT(message("curve " + found + " --sped=1"), contains_text("did you mean '--speeds'?"));
    CHECK_THAT(message("support " + found + " --endforce 8kN"), contains_text("did you mean '--end-force'?"));
    CHECK_THAT(message("--verson"), contains_text("did you mean '--version'?"));
    CHECK_THAT(message("curve " + found + " --clicks base.compresion=3"),
               contains_text("did you mean 'base.compression'?"));
    CHECK_THAT(message("keys flot"), contains_text("did you mean 'float'?"));
    // Whatever else is missing, and on commands that have nothing like it.
    CHECK_THAT(
        message("ride " + found + " --evnt x"),
        contains_text("wrong usage: there is no option --evnt; did you mean '--event'?; see valve ride"));
    CHECK_THAT(message("search " + found + " --gaol x"),
               contains_text("there is no option --gaol; did you mean '--goal'?"));
    CHECK_THAT(message("modes " + found + " --evnt x"),
               contains_text("there is no option --evnt; see valve modes --help"));
    CHECK(message("curve " + found + " --theory guessed").find("did you mean") == std::string::npos);
}

TEST_CASE("options take units, and bare numbers are in the unit of the help", "[program]") {
    const auto same = [](const std::string& command, const std::string& bare, const std::string& with_unit) {
        INFO(bare << " and " << with_unit);
        const std::string start = command + " " + found + " --json ";
        const Run one = run(start + bare);
        CHECK(one.status == 0);
        CHECK(one.out == run(start + with_unit).out);
    };
    same("curve", "--theory linear --speeds=-0.5,1 --travel 100",
         "--theory linear --speeds='-500 mm/s,1000 mm/s' --travel 10cm");
    same("curve", "--theory linear --speeds=0.5 --top-speed 2",
         "--theory linear --speeds=0.5m/s --top-speed '2000 mm/s'");
    same("lift", "--theory linear --valve base.refill --pressures 1,2",
         "--theory linear --valve base.refill --pressures '100 kPa,0.2MPa'");
    same("support", "--travels 100,200", "--travels '10 cm,0.2 m'");
    for (const char* wrong : {"--speeds='1,2 m/s'", "--travel '2 bar'", "--speeds='1 m/s per click'"}) {
        const Run refused = run("curve " + found + " " + wrong);
        CHECK(refused.status == 2);
        CHECK_THAT(refused.err, contains_text("wrong usage: --"));
    }
}

TEST_CASE("names as they are printed can be typed on the command line", "[program]") {
    const std::string start = "inspect --round " + found + " --json --set ";
    const Run whole = run(start + "'valves.base.refill.float.rate=2 N/mm'");
    CHECK(whole.status == 0);
    CHECK(whole.out == run(start + "'base.refill.float.rate=2 N/mm'").out);
}

TEST_CASE("what a title or a file name holds is harmless to a terminal", "[program]") {
    const std::string text = shell("sed 's/^title:.*/title: \"a \\e[2J b \\u202E c\"/' " + found).out;
    const std::string bad = file_with("title.yaml", text);
    for (const char* form : {"", " --json"}) {
        const Run shown = run("inspect --round " + bad + form);
        CHECK(shown.status == 0);
        CHECK(shown.out.find('\x1b') == std::string::npos);
        CHECK(shown.out.find("\xE2\x80\xAE") == std::string::npos);
    }
    const Run missing = shell("'" VALVE_PROGRAM "' inspect \"$(printf 'a\\033[2Jb.yaml')\"");
    CHECK(missing.status == 3);
    CHECK(missing.err.find('\x1b') == std::string::npos);
}

TEST_CASE("the reference of keys is printed as text and as JSON", "[program]") {
    CHECK_THAT(run("keys --help").out, contains_text("Example:\n  valve keys float"));
    const Run all = run("keys");
    CHECK(all.status == 0);
    CHECK_THAT(all.out, contains_text("damper.bore\n    length [mm]; more than 0, at most 300 mm; required"));
    CHECK_THAT(run("keys bleed needle").out, contains_text("valves.base.compression.bleed.needle"));
    CHECK_THAT(run("compare --table " + found + " --figures dead_travel_rebound@4").err,
               contains_text("'dead_travel_rebound@4': belongs to no rod speed, but to a frequency: "
                             "dead_travel_rebound@4Hz"));
    CHECK_THAT(run("cycle " + found + " --sweep base.refill=1,2").err,
               contains_text("--sweep: base.refill has no adjuster"));
    std::string many = "0.0001";
    for (int i = 2; i <= 201; ++i)
        many += "," + std::to_string(1e-4 * i);
    CHECK_THAT(run("cycle " + found + " --sweep damper.ring_leak.gap=" + many).err,
               contains_text("--sweep: 201 variants; expected no more than 200"));
    CHECK_THAT(run("keys piston.rebound.clamp").out, contains_text("valves.piston.rebound.clamp\n"));
    CHECK_THAT(run("keys 'eccentric' --json").out,
               contains_text("\"key\": \"damper.ring_leak.eccentricity\""));
}

TEST_CASE("the version is told", "[program]") {
    const Run version = run("--version");
    CHECK(version.status == 0);
    CHECK(std::regex_match(version.out, std::regex("valve \\d+\\.\\d+\\.\\d+\n")));
}

TEST_CASE("wrong usage ends with status 2 and a message on standard error alone", "[program]") {
    for (const std::string& arguments :
         {std::string(), std::string("no-such-command"), std::string("curve"),
          std::string("--no-such-option"), "curve " + found + " another.yaml",
          "curve " + found + " --speeds=fast", "curve " + found + " --speeds=nan",
          "curve " + found + " --json --csv", "curve " + found + " --theory guessed",
          "curve " + found + " --set bore", "curve " + found + " --set =3",
          "curve " + found + " --top-speed=-1", "curve " + found + " --travel=inf",
          "curve " + found + " --clicks base.refill=3", "curve " + found + " --rod-into water",
          "lift " + found + " --valve no.such", "lift " + found + " --pressures=-1", "compare " + found}) {
        INFO("valve " << arguments);
        const Run wrong = run(arguments);
        CHECK(wrong.status == 2);
        CHECK(wrong.out.empty());
        CHECK_FALSE(wrong.err.empty());
    }
}

TEST_CASE("options that ask what cannot be are wrong usage, and the message names them", "[program]") {
    struct Asked {
        const char* option;
        std::string line;
    };
    for (const Asked& asked : {Asked{"--pressures", "lift " + found + " --pressures 1e300"},
                               Asked{"--pressures", "lift " + found + " --pressures 10001"},
                               Asked{"--pressure", "modes " + found + " --pressure 1e300"},
                               Asked{"--speeds", "curve " + found + " --speeds=1e300"},
                               Asked{"--speeds", "curve " + found + " --speeds=-101"},
                               Asked{"--top-speed", "curve " + found + " --top-speed 101"},
                               Asked{"--travel", "curve " + found + " --travel 1e300"},
                               Asked{"--travels", "curve " + found + " --travels 1e300"},
                               Asked{"--lead-at", "curve " + found + " --travels 10 --lead-at 1e9"},
                               Asked{"--wear-to", "curve " + found + " --wear-to 1e9"}}) {
        INFO("valve " << asked.line);
        const Run wrong = run(asked.line);
        CHECK(wrong.status == 2);
        CHECK(wrong.out.empty());
        CHECK_THAT(wrong.err, contains_text(std::string("wrong usage: ") + asked.option));
    }
}

TEST_CASE("a measured run of forces that cannot be is refused at its line", "[program]") {
    const std::string huge = file_with("huge.csv", "speed [m/s],force [N]\n0.1,10\n1,1e308\n1,1e308\n");
    const Run run_of = run("curve " + found + " --speeds=1 --measured " + huge);
    CHECK(run_of.status == 3);
    CHECK(run_of.out.empty());
    CHECK_THAT(run_of.err, contains_text("huge.csv:3:3") && contains_text("1e+308 N is out of range"));
}

TEST_CASE("a choice of spring that is asked for wrongly is wrong usage", "[program]") {
    CHECK(run("support").status == 2);
    for (const char* options :
         {"--sag wide", "--sag=-3", "--sag '3 N'", "--hit=-1", "--hit nan", "--travels=nan", "--rates 4,5",
          "--sag 70 --rates 5", "--sag 70 --rates 6,5", "--sag 70 --rates 0,5", "--oils 300,400",
          "--sag 70 --preloads 0,9", "--sag 70 --oils 300,400", "--springs 4.6,4.8", "--sag 70 --springs 0,5",
          "--end-force 8kN --springs 4.6", "-o x.yaml"}) {
        INFO(options);
        const Run wrong = run("support " + found + " " + options);
        CHECK(wrong.status == 2);
        CHECK(wrong.out.empty());
        CHECK_THAT(wrong.err, contains_text("wrong usage: --"));
    }
    CHECK(run("support " + found + " " + found + " --sag 70").status == 2);
}

TEST_CASE("spring and oil are chosen from what is at hand, and written as a set-up", "[program]") {
    const std::string start = "support " + found + " ";
    const Run alone = run(start + "--end-force 8kN --json");
    CHECK(alone.status == 0);
    CHECK_THAT(alone.out, contains_text("\"chosen\": [\n      \"oil\"\n    ]"));
    const std::string chosen = file_with("chosen.yaml", "");
    const Run stock = run(start + "--rider 85kg --sag 75mm --springs 4.4,4.6,5.0 -o " + chosen);
    CHECK(stock.status == 0);
    CHECK_THAT(stock.out, contains_text("The choice as a set-up"));
    CHECK_THAT(content(chosen),
               contains_text("support.spring.rate: 4.") && contains_text("support.load.rider: 85 kg"));
    const Run read_back = run("inspect " + chosen);
    CHECK(read_back.status == 0);
}

TEST_CASE("a sweep takes lists of shims and several keys, and goes on past what cannot stand", "[program]") {
    const std::string start = "curve " + found + " --theory linear --speeds=-1,1 ";
    const Run shims =
        run(start + "--sweep 'base.compression.shims=[6 * 24 x 0.15],[5 * 24 x 0.15, 22 x 0.15]'");
    CHECK(shims.status == 0);
    CHECK_THAT(shims.out, contains_text("[5 * 24 x 0.15, 22 x 0.15]"));

    const Run grid =
        run(start + "--json --sweep base.compression=4,12 --sweep 'damper.ring_leak.gap=0.02,0.04'");
    CHECK(grid.status == 0);
    for (const char* setting : {"4 / 0.02", "4 / 0.04", "12 / 0.02", "12 / 0.04"})
        CHECK_THAT(grid.out, contains_text("\"setting\": \"" + std::string(setting) + "\""));

    const Run read = run(start + "--sweep base.compression=4,12 --sweep 'damper.ring_leak.gap=0.02,0.04'");
    CHECK_THAT(read.out, contains_text("As set: piston.rebound 10 of 24 clicks."));

    const Run past = run(start + "--sweep base.compression=4,12,99");
    CHECK(past.status == 4);
    CHECK_THAT(past.err, contains_text("base.compression at 99 is left out: --sweep: error: "));
    CHECK_THAT(past.out, contains_text("base.compression at 4 and 12 clicks out"));
    const Run none = run(start + "--sweep damper.boer=20,30");
    CHECK(none.status == 2);
    CHECK(none.out.empty());
    CHECK_THAT(none.err, contains_text("--sweep: error: damper.boer: unknown key; did you mean"));
}

TEST_CASE("a bad file ends with status 3 and names the place", "[program]") {
    const Run missing = run("curve no-such-file.yaml");
    CHECK(missing.status == 3);
    CHECK_THAT(missing.err, contains_text("no-such-file.yaml"));

    std::string text = shell("cat " + found).out;
    const std::size_t bore = text.find("  bore:");
    REQUIRE(bore != std::string::npos);
    text.replace(bore, 7, "  boer:");
    const auto line = std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(bore), '\n') + 1;
    const std::string bad = file_with("bad.yaml", text);
    for (const char* command : {"inspect", "lift", "curve", "support", "cycle"}) {
        const Run misspelt = run(std::string(command) + " " + bad);
        CHECK(misspelt.status == 3);
        CHECK(misspelt.out.empty());
        CHECK_THAT(misspelt.err, contains_text("bad.yaml:" + std::to_string(line) + ":3"));
        CHECK_THAT(misspelt.err, contains_text("bore"));
    }
}

TEST_CASE("a file with one valve alone lifts, but has no curve", "[program]") {
    const std::string single = file_with("single.yaml", R"(format: 1
title: one stack
valve:
  ports: {count: 4, area: 11 mm2}
  zone: {inner: 12 mm, outer: 19 mm}
  seat: {inner: 19 mm, outer: 20 mm}
  clamp: 9 mm
  shims: [2 * 21 x 0.15, 15 x 0.15]
)");
    const Run lift = run("lift " + single + " --pressures 1,2 --json --theory linear");
    CHECK(lift.status == 0);
    CHECK_THAT(lift.out, contains_text("\"valve\": \"valve\""));
    CHECK(run("inspect " + single).status == 0);
    for (const std::string& arguments :
         {"curve " + single, "compare " + found + " " + single, "support " + single}) {
        const Run refused = run(arguments);
        CHECK(refused.status == 3);
        CHECK_THAT(refused.err, contains_text("one valve alone"));
    }
}

TEST_CASE("a reader that goes away is no fault; an output that takes nothing is", "[program]") {
    const Run gone = shell("{ sleep 0.2; '" VALVE_PROGRAM "' inspect " + found + "; echo $? >&2; } | true");
    CHECK(gone.err == "0\n");
    CHECK(run("--version >/dev/full").status == 1);
}
