#include <layers/includes.hpp>
#include <layers/layers.hpp>
#include <support/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

namespace fs = std::filesystem;
using layers::missing_includes;

TEST_CASE("layers: every source includes what it uses", "[layers]") {
    const fs::path source{VALVE_SOURCE_DIR};
    const std::vector<fs::path> folders{source / "libvalve", source / "tools/valve", source / "tests",
                                        source / "validation"};
    std::string missing;
    int files = 0;
    for (const fs::path& folder : folders)
        for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
            const fs::path& path = entry.path();
            if (path.extension() != ".cpp" && path.extension() != ".hpp") continue;
            ++files;
            for (const std::string& one : missing_includes(path, folders))
                missing += fs::relative(path, source).string() + ": " + one + "\n";
        }
    CHECK(missing == "");
    CHECK(files > 300);
}

TEST_CASE("layers: what takes long to compile is included by one source of the program", "[layers]") {
    std::vector<std::string> users;
    for (const fs::directory_entry& entry :
         fs::directory_iterator(fs::path{VALVE_SOURCE_DIR} / "tools/valve")) {
        if (entry.path().extension() != ".cpp" && entry.path().extension() != ".hpp") continue;
        const std::string text = layers::read(entry.path());
        for (const std::string& costly : {std::string("CLI/App.hpp"), std::string("spdlog/spdlog.h")})
            if (text.find("#include <" + costly) != std::string::npos)
                users.push_back(entry.path().filename().string() + ": " + costly);
    }
    std::sort(users.begin(), users.end());
    CHECK(users == std::vector<std::string>{"messages.cpp: spdlog/spdlog.h", "options.cpp: CLI/App.hpp"});
}

TEST_CASE("layers: a missing include is found", "[layers]") {
    const std::string text =
        "// std::map is not used\n"
        "std::vector<double> v = Eigen::sum(std::move(x), \"std::set\"); ours::std::pair y;\n";
    using Lines = std::vector<std::string>;
    CHECK(missing_includes(text, {"string"}) == Lines{"Eigen::sum needs a header of Eigen/",
                                                      "std::move needs <utility>",
                                                      "std::vector needs <vector>"});
    CHECK(missing_includes(text, {"utility", "vector", "Eigen/Core"}).empty());
    const std::string declared = "namespace CLI {\nclass App;\n}\nCLI::App* app; CLI::Option* option;\n";
    CHECK(missing_includes(declared, {}) == Lines{"CLI::Option needs a header of CLI/"});
}
