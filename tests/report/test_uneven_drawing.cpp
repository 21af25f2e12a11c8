#include <support/catch.hpp>
#include <valve/report/text.hpp>
#include <valve/report/uneven_drawing.hpp>

#include <sstream>
#include <string>
#include <vector>

using namespace valve::report;
using namespace valve::stack;

namespace {

/// Two shims 0.2 mm thick, of which the first lifts 1.8 mm at its rim in the first section, 0.3 mm in the
/// other, and the second lies on it up to its own rim.
UnevenShape shape() {
    UnevenShape shape;
    shape.lift.state.pressure = 8e5;
    shape.lift.waves = 3;
    shape.first = {{1, {6e-3, 15e-3}, {0.0, 1.8e-3}}, {2, {6e-3, 12e-3}, {0.0, 1.2e-3}}};
    shape.last = {{1, {6e-3, 15e-3}, {0.0, 0.3e-3}}, {2, {6e-3, 12e-3}, {0.0, 0.2e-3}}};
    shape.angle = {0.0, 0.5235987755982988, 1.0471975511965976};
    shape.seat_lift = {1.7e-3, 1.0e-3, 0.28e-3};
    return shape;
}

Stack stack() {
    Stack stack;
    stack.shims = {{15e-3, 0.2e-3, {}}, {12e-3, 0.2e-3, {}}};
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {8e-3, 14e-3};
    stack.seat = {14e-3, 14.5e-3, 0.0};
    return stack;
}

} // namespace

TEST_CASE("a stack that is not round is drawn with both its sections", "[report]") {
    const std::string text = drawing(shape(), stack());
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        CHECK(width(line) <= page_columns);
        lines.push_back(line);
    }
    REQUIRE(lines.size() > 18);
    CHECK(lines[0] == "At 8.00 bar, the number of each shim where it lies");
    CHECK(lines[1].find("crest, seat lift 1.700 mm") != std::string::npos);
    CHECK(lines[1].find("trough, seat lift 0.280 mm") != std::string::npos);
    // The rim of the face shim is the highest point of the first section: 1.9 mm at its middle, so that a
    // line is 1.9/15 mm. In the other section it ends at 0.4 mm, three lines above the lowest.
    CHECK(lines[2].substr(0, 44).rfind('1') == 43);
    CHECK(lines[2].size() == 44);
    CHECK(lines[14].back() == '1');
    CHECK(text.find("A line is 0.13 mm high, a column 0.22 mm wide") != std::string::npos);
    CHECK(text.find("crest to trough (60°, 3 times each way)") != std::string::npos);
    CHECK(text.find("1.700 to 0.280 mm") != std::string::npos);
    // Half-way round the lift is 1.0 of 1.7 mm: five eighths.
    CHECK(text.find("▅") != std::string::npos);

    Stack over_ports = stack();
    over_ports.windows = 3;
    CHECK(drawing(shape(), over_ports).find("mid-port, seat lift 1.700 mm") != std::string::npos);
}
