#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/advice_fields.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/curve_fields.hpp>
#include <valve/report/lift_fields.hpp>
#include <valve/report/page_fields.hpp>
#include <valve/report/ports.hpp>
#include <valve/report/search.hpp>

#include <fstream>
#include <regex>
#include <set>
#include <sstream>
#include <string>

using namespace valve;
using namespace valve::report;

namespace {

using Keys = std::set<std::string>;

/// Keys of an interface of the page's data.
Keys keys_of_page(const std::string& interface) {
    static const std::string text = [] {
        std::ifstream file(std::string(VALVE_SOURCE_DIR) + "/tools/web/src/data.ts");
        std::ostringstream all;
        all << file.rdbuf();
        return all.str();
    }();
    const std::size_t begin = text.find("export interface " + interface + " {");
    if (begin == std::string::npos) return {};
    const std::string body = text.substr(begin, text.find("\n}", begin) - begin);
    Keys keys;
    const std::regex line(R"(\n  (\w+)\??:)");
    for (std::sregex_iterator found(body.begin(), body.end(), line), end; found != end; ++found)
        keys.insert((*found)[1]);
    return keys;
}

template <class Row>
Keys keys_of(Fields<Row> fields) {
    Keys keys;
    for (const FieldWords& field : fields)
        CHECK(keys.insert(std::string(field.key)).second);
    return keys;
}

} // namespace

TEST_CASE("the page knows the fields of the tables and no others", "[report][contract]") {
    Keys curve = keys_of(steady_fields());
    curve.merge(keys_of(through_fields()));
    CHECK(keys_of_page("CurvePoint") == curve);
    CHECK(keys_of_page("VoidOnset") == keys_of(onset_fields()));
    CHECK(keys_of_page("ChokedPorts") == keys_of(port_fields()));
    CHECK(keys_of_page("MeasuredPoint") == keys_of(deviation_fields()));
    CHECK(keys_of_page("LiftPoint") == keys_of(lift_fields()));
    CHECK(keys_of_page("Suggestion") == keys_of(suggestion_fields()));
    CHECK(keys_of_page("SearchAnswer") == keys_of(search_answer_fields()));
}

TEST_CASE("a row of a curve holds the fields of its tables, in their order", "[report][contract]") {
    Json row = json(samples::steady_point(1.0));
    row.update(json(damper::ThroughValves{}));
    std::vector<std::string> keys;
    for (const FieldWords& field : steady_fields())
        keys.emplace_back(field.key);
    for (const FieldWords& field : through_fields())
        keys.emplace_back(field.key);
    std::vector<std::string> found;
    for (const auto& [key, value] : row.items())
        found.push_back(key);
    CHECK(found == keys);
}

TEST_CASE("a field is told in its unit, with its digits", "[report]") {
    const damper::SteadyPoint point = samples::steady_point(1.0);
    CHECK(cell(field_of(steady_fields(), "balance_margin_Pa"), point) == "1.45");
    CHECK(cell(field_of(steady_fields(), "p_C_Pa"), point) == "0.99"); // above 1.01325 bar
    CHECK(cell(field_of(steady_fields(), "share_base"), point) == "25");
    CHECK(cell(field_of(steady_fields(), "speed_m_s"), point) == "1");
    CHECK(cell(field_of(steady_fields(), "refill_deficit_Pa"), point) == "-");
    CHECK(column(field_of(steady_fields(), "p_C_Pa")).unit == "bar gauge");
    const Json described = page_fields().at("curve").at("balance_margin_Pa");
    CHECK(described.at("words") == "balance margin");
    CHECK(described.at("measure") == "pressure");
    CHECK(described.at("unit") == "bar");
    CHECK(page_fields().at("figures").at("end_force_N").at("words") ==
          page_fields().at("curve").at("end_force_N").at("words"));
}

TEST_CASE("every measure has both units; those of the inch are as defined", "[report]") {
    for (const MagnitudeUnits& one : magnitudes()) {
        CHECK(units_of(one.measure).name == one.name);
        CHECK(one.metric.per_SI > 0.0);
        CHECK(one.inch.per_SI > 0.0);
    }
    // The inch is 25.4 mm and the pound-force 4.4482216152605 N by definition (NIST SP 811, from memory).
    const auto of_one = [](Magnitude measure, double si) {
        const TradeUnit& unit = units_of(measure).inch;
        return si * unit.per_SI + unit.offset;
    };
    CHECK_THAT(of_one(Magnitude::length, 25.4e-3), WithinRel(1.0, 1e-15));
    CHECK_THAT(of_one(Magnitude::force, 4.4482216152605), WithinRel(1.0, 1e-15));
    CHECK_THAT(of_one(Magnitude::pressure, 6894.757293168361), WithinRel(1.0, 1e-12));
    CHECK_THAT(of_one(Magnitude::temperature, 373.15), WithinRel(212.0, 1e-12));
}
