#include <layers/includes.hpp>
#include <support/catch.hpp>

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

TEST_CASE("layers: a missing include is found", "[layers]") {
    const std::string text =
        "// std::map is not used\n"
        "std::vector<double> v = Eigen::sum(std::move(x), \"std::set\"); ours::std::pair y;\n";
    using Lines = std::vector<std::string>;
    CHECK(missing_includes(text, {"string"}) == Lines{"Eigen::sum needs a header of Eigen/",
                                                      "std::move needs <utility>",
                                                      "std::vector needs <vector>"});
    CHECK(missing_includes(text, {"utility", "vector", "Eigen/Core"}).empty());
}
