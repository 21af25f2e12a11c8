#include <support/catch.hpp>
#include <valve/report/packed.hpp>

#include <cstddef>
#include <string>

using valve::report::Json;

TEST_CASE("data are packed by columns, to ten digits, and what occurs twice once", "[report]") {
    const std::string long_text(80, 'x');
    Json rows = Json::array();
    for (int i = 0; i < 5; ++i)
        rows.push_back({{"speed", 0.1 * i}, {"error", nullptr}, {"parts", Json::array({i, 2.0 / 3.0})}});
    const Json twice{{"text", long_text}, {"rows", rows}};
    Json data;
    data["a"] = twice;
    data["b"] = twice;
    data["few"] = Json::array({Json{{"k", 1}}, Json{{"k", 2}}});
    const Json packed = valve::report::packed(data);

    const Json& page = packed.at("~page");
    CHECK(page.at("a") == page.at("b"));
    const Json& shared = packed.at("~shared").at(page.at("a").at("~shared").get<std::size_t>());
    CHECK(shared.at("text") == long_text);
    CHECK(shared.at("rows").at("~rows") == 5);
    const Json& columns = shared.at("rows").at("~columns");
    CHECK(columns.at("error").is_null()); // one value for all
    CHECK(columns.at("speed").size() == 5);
    CHECK(columns.at("parts").at(1).at(1) == 0.6666666667);
    CHECK(page.at("few").at(1).at("k") == 2);
    CHECK(packed.dump().size() < data.dump().size());
}
