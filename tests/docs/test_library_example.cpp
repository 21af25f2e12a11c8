#include <support/catch.hpp>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

namespace {

std::string text_of(const std::filesystem::path& path) {
    std::ifstream file(std::filesystem::path{VALVE_SOURCE_DIR} / path);
    REQUIRE(file);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

} // namespace

TEST_CASE("README shows the user of the library that the package test builds", "[docs]") {
    const std::string readme = text_of("README.md");
    const std::string opening = "```cpp\n";
    const std::size_t begin = readme.find(opening);
    REQUIRE(begin != std::string::npos);
    const std::size_t end = readme.find("```", begin + opening.size());
    const std::string shown = readme.substr(begin + opening.size(), end - begin - opening.size());

    const std::string built = text_of("tests/package/consumer/main.cpp");
    CHECK(shown == built.substr(built.find('\n') + 1)); // a comment says what it is
}
