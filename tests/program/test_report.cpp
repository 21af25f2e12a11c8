#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <filesystem>
#include <string>

using namespace valve::tests;

namespace {

const std::string found = "stacks/rally-fork.yaml";

} // namespace

TEST_CASE("a report needs a place to go, or shows its data", "[program]") {
    const Run nowhere = run("report " + found);
    CHECK(nowhere.status == 2);
    CHECK_THAT(nowhere.err, contains_text("-o OUT.html"));
    const Run data = run("report " + found + " --theory linear --json");
    CHECK(data.status == 0);
    const nlohmann::json page = nlohmann::json::parse(data.out);
    CHECK(page.at("page") == 1);
    CHECK(page.at("setups").at(0).at("curve") ==
          nlohmann::json::parse(run("curve " + found + " --theory linear --json").out));
    if (!VALVE_SANITIZED) CHECK(data.out == run("report " + found + " --theory linear --json").out);
}

TEST_CASE("a report with a goal shows what advise finds, and says where the goal is wrong",
          "[program][advise]") {
    const std::string asked = found + " --goal stacks/goals/refill.yaml --theory linear --json";
    const Run data = run("report " + asked);
    INFO(data.err);
    REQUIRE(data.status == 0);
    CHECK(nlohmann::json::parse(data.out).at("advice") == nlohmann::json::parse(run("advise " + asked).out));

    const std::string goal =
        file_with("no-figure.yaml", "format: 1\ngoal:\n  - {figure: refil_deficit, at_most: 0.3 bar}\n");
    const Run no_goal = run("report " + found + " --json --drawer stacks/drawers/van.yaml");
    CHECK(no_goal.status == 2);
    CHECK_THAT(no_goal.err, contains_text("--drawer: belongs to --goal"));
    const Run wrong = run("report " + found + " --theory linear --json --goal " + goal);
    CHECK(wrong.status == 3);
    CHECK_THAT(wrong.err, contains_text("refill_deficit"));
}

TEST_CASE("a report that cannot be made leaves what stood in its place", "[program]") {
    const std::string kept = file_with("kept.html", "as it was");
    CHECK(run("report no-such-file.yaml -o " + kept).status == (VALVE_HAS_PAGE ? 3 : 2));
    CHECK(content(kept) == "as it was");
}

#if VALVE_HAS_PAGE

namespace {

using nlohmann::json;

/// What report::packed() made, taken apart again.
json unpacked(const json& value, const json& shared) {
    if (!value.is_structured()) return value;
    if (value.is_object() && value.contains("~shared"))
        return unpacked(shared.at(value.at("~shared").get<std::size_t>()), shared);
    if (value.is_object() && value.contains("~columns")) {
        json rows = json::array();
        for (std::size_t i = 0; i < value.at("~rows").get<std::size_t>(); ++i) {
            json row;
            for (const auto& [key, column] : value.at("~columns").items()) {
                const json opened = unpacked(column, shared);
                row[key] = opened.is_array() ? opened.at(i) : opened;
            }
            rows.push_back(row);
        }
        return rows;
    }
    json result = value;
    for (json& part : result)
        part = unpacked(part, shared);
    return result;
}

/// Equal, numbers to the ten digits that a page keeps.
bool is_same(const json& a, const json& b) {
    constexpr double digits = 1e-9;
    if (a.is_number() && b.is_number())
        return std::abs(a.get<double>() - b.get<double>()) <= digits * std::abs(b.get<double>());
    if (a.is_array() && b.is_array()) return std::equal(a.begin(), a.end(), b.begin(), b.end(), is_same);
    if (!a.is_object() || !b.is_object()) return a == b;
    if (a.size() != b.size()) return false;
    for (const auto& [key, value] : a.items())
        if (!b.contains(key) || !is_same(value, b.at(key))) return false;
    return true;
}

} // namespace

TEST_CASE("a report is one whole page that holds the data and no way out of them", "[program]") {
    const std::string out = file_with("page.html", "");
    const std::string title = "</script><img src=x onerror=alert(1)> @@TITLE@@ \"&amp;";
    const std::string file =
        file_with("hostile.yaml", "format: 1\ntitle: '" + title +
                                      "'\nfrom: " + std::string(VALVE_SOURCE_DIR) + "/" + found + "\n");
    const std::string common = "report " + file + " --theory linear";
    const Run written = run(common + " -o " + out);
    CHECK(written.status == 0);
    CHECK_THAT(written.out, contains_text(out + ": written"));
    CHECK_FALSE(std::filesystem::exists(out + ".part"));

    const std::string page = content(out);
    CHECK(page.find("<img src=x") == std::string::npos);
    CHECK(
        page.find("<title>&lt;/script&gt;&lt;img src=x onerror=alert(1)&gt; @@TITLE@@ \"&amp;amp;</title>") !=
        std::string::npos);
    const std::string opening = "<script type=\"application/json\" id=\"data\">";
    const std::size_t begin = page.find(opening) + opening.size();
    const std::size_t end = page.find("</script>", begin);
    const json packed = json::parse(page.substr(begin, end - begin));
    const json drawn = unpacked(packed.at("~page"), packed.at("~shared"));
    const json all = json::parse(run(common + " --json").out);
    for (const char* part : {"fields", "measures", "answer", "comparison"})
        CHECK(is_same(drawn.at(part), all.at(part)));
    const json& section = all.at("setups").at(0).at("sections").at(0);
    CHECK(drawn.at("setups").at(0).at("sections").at(0).at("shims").size() == section.at("shims").size());
    CHECK(packed.dump().size() < all.dump().size() / 2); // the rest is for those who read the data
}

TEST_CASE("a page that has nowhere to be written is told with the reason", "[program]") {
    const Run lost = run("report " + found + " --theory linear -o no-such-folder/page.html");
    CHECK(lost.status == 1);
    CHECK_THAT(lost.err,
               contains_text("no-such-folder/page.html: cannot be written: No such file or directory"));
}

#else

TEST_CASE("a program built without Node says what is missing for a page", "[program]") {
    const Run refused = run("report " + found + " -o page.html");
    CHECK(refused.status == 2);
    CHECK_THAT(refused.err, contains_text("built without Node"));
}

#endif
