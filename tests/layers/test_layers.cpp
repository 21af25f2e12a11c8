#include <layers/layers.hpp>
#include <support/catch.hpp>

#include <fmt/format.h>

#include <filesystem>
#include <functional>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

using layers::Breach;
using layers::breaches_in;

namespace {

std::string listing(const std::vector<Breach>& breaches) {
    std::string text;
    for (const Breach& breach : breaches)
        text += fmt::format("{}: {}\n", breach.place, breach.rule);
    return text;
}

} // namespace

TEST_CASE("layers: the library keeps its layers", "[layers]") {
    const std::filesystem::path root = std::filesystem::path{VALVE_SOURCE_DIR} / "libvalve" / "valve";
    REQUIRE(std::filesystem::exists(root / "core"));
    CHECK(listing(layers::breaches_below(root)) == "");
}

TEST_CASE("layers: the scanner finds what it is there to find", "[layers]") {
    const std::string bad = "#include <valve/flow/oil.hpp>\n"
                            "  # include <valve/damper/spec.hpp>\n"
                            "#include \"plate.hpp\"\n"
                            "#include <yaml-cpp/yaml.h>\n"
                            "#include <spdlog/spdlog.h>\n"
                            "#include <iostream>\n"
                            "    if (late) std::exit(1);\n"
                            "    abort ();\n"
                            "    fmt::print(\"{}\", x);\n";
    CHECK(listing(breaches_in("stack", "bad.cpp", bad)) ==
          "stack/bad.cpp:1: stack may not use flow (<valve/flow/oil.hpp>)\n"
          "stack/bad.cpp:2: stack may not use damper (<valve/damper/spec.hpp>)\n"
          "stack/bad.cpp:3: \"plate.hpp\" is not in angle brackets\n"
          "stack/bad.cpp:4: stack may not use <yaml-cpp/yaml.h>\n"
          "stack/bad.cpp:5: stack may not use <spdlog/spdlog.h>\n"
          "stack/bad.cpp:6: stack may not use <iostream>\n"
          "stack/bad.cpp:7: the library may not call exit\n"
          "stack/bad.cpp:8: the library may not call abort\n"
          "stack/bad.cpp:9: the library may not call fmt::print\n");
}

TEST_CASE("layers: an installed header needs nothing that is not installed with it", "[layers]") {
    const std::string header = "#include <valve/stack/detail/path.hpp>\n"
                               "#include <Eigen/Core>\n"
                               "#include <vector>\n";
    CHECK(listing(breaches_in("stack", "bad.hpp", header)) ==
          "stack/bad.hpp:1: an installed header may not need <valve/stack/detail/path.hpp>, which is not\n"
          "stack/bad.hpp:2: an installed header may not need <Eigen/Core> of another library\n");
    CHECK(listing(breaches_in("stack", "detail/good.hpp", header)) == "");
    CHECK(listing(breaches_in("stack", "good.cpp", header)) == "");
}

TEST_CASE("layers: what may be used passes, each rule in its own place", "[layers]") {
    const std::string good = "#include <valve/stack/spec.hpp>\n"
                             "#include <valve/plate/material.hpp>\n" // through stack
                             "#include <valve/core/error.hpp>\n"
                             "#include <string>\n"
                             "// never exit(1) or abort() here\n"
                             "double exit_area(double d);\n";
    CHECK(listing(breaches_in("flow", "good.cpp", good)) == "");
    CHECK(listing(breaches_in("setup", "yaml.cpp", "#include <yaml-cpp/eventhandler.h>\n")) == "");
    CHECK(listing(breaches_in("plate", "modes.cpp", "#include <Spectra/SymGEigsShiftSolver.h>\n")) == "");
    CHECK(listing(breaches_in("damper", "x.cpp", "#include <Spectra/SymGEigsShiftSolver.h>\n")) ==
          "damper/x.cpp:1: damper may not use <Spectra/SymGEigsShiftSolver.h>\n");
    CHECK(listing(breaches_in("helpers", "x.cpp", "")) == "helpers: is not a module of the table\n");
}

TEST_CASE("layers: the map in DEVELOPERS.md is the table of the layers", "[layers]") {
    const std::filesystem::path source{VALVE_SOURCE_DIR};
    const auto map = layers::modules_on_map(layers::read(source / "DEVELOPERS.md"));
    for (const auto& [module, used] : map) {
        INFO(module);
        REQUIRE(layers::table().contains(module));
        CHECK(used == layers::table().at(module));
        CHECK(std::filesystem::is_directory(source / "libvalve" / "valve" / module));
    }
    for (const std::filesystem::directory_entry& entry :
         std::filesystem::directory_iterator(source / "libvalve" / "valve")) {
        INFO(entry.path().filename().string());
        if (entry.is_directory()) CHECK(map.contains(entry.path().filename().string()));
    }
}

TEST_CASE("layers: rows of modules are read off the map", "[layers]") {
    const auto map = layers::modules_on_map("| folder | may use | what |\n"
                                            "| --- | --- | --- |\n"
                                            "| `libvalve/valve/core` | – | errors |\n"
                                            "| `libvalve/valve/flow` | core, stack | oil |\n"
                                            "| `tests` | | mirrors |\n");
    CHECK(map ==
          std::map<std::string, layers::Names, std::less<>>{{"core", {}}, {"flow", {"core", "stack"}}});
    CHECK_THROWS_AS(layers::modules_on_map("| `libvalve/valve/a` | b | |\n| `libvalve/valve/a` | b | |\n"),
                    std::runtime_error);
}
