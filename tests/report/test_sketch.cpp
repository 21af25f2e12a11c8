#include <support/catch.hpp>
#include <valve/report/sketch.hpp>

#include <algorithm>
#include <string>

using namespace valve::report;
using namespace valve::stack;

namespace {

Stack clamped() {
    Stack stack;
    const auto add = [&](int count, double outer, double thickness) {
        stack.shims.insert(stack.shims.end(), static_cast<std::size_t>(count),
                           Shim{0.5 * outer, thickness, {}});
    };
    add(2, 24e-3, 0.15e-3);
    add(1, 16e-3, 0.20e-3);
    add(1, 12e-3, 0.40e-3);
    stack.clamp_radius = 6e-3;
    stack.zone = {7e-3, 11e-3};
    stack.seat = {11e-3, 12e-3, 0.05e-3};
    return stack;
}

/// The line whose label ends at the ninth column with `label`.
std::string line(const std::string& drawing, const std::string& label) {
    const std::string start = std::string(8 - label.size(), ' ') + label + "  ";
    const std::size_t from = ("\n" + drawing).find("\n" + start);
    REQUIRE(from != std::string::npos);
    return drawing.substr(from, drawing.find('\n', from) - from);
}

int count_of(const std::string& text, const std::string& glyph) {
    int count = 0;
    for (std::size_t at = text.find(glyph); at != std::string::npos; at = text.find(glyph, at + glyph.size()))
        ++count;
    return count;
}

} // namespace

TEST_CASE("shims that follow each other and are alike make one run", "[report]") {
    const std::vector<ShimRun> all = runs(clamped());
    REQUIRE(all.size() == 3);
    CHECK(words(all[0]) == "2 * 24 x 0.15");
    CHECK(words(all[1]) == "16 x 0.20");
    CHECK(all[2].first == 3);
    CHECK_THAT(height_of(clamped().shims), WithinRel(0.90e-3, 1e-12)); // sums of decimal fractions
}

TEST_CASE("a clamped stack is drawn to scale, the piston face at the bottom", "[report]") {
    const std::string drawing = sketch(clamped());
    // 60 columns for the largest radius, 12 mm.
    CHECK(count_of(line(drawing, "1"), "▃") == 60);
    CHECK(count_of(line(drawing, "3"), "▄") == 40);
    CHECK(count_of(line(drawing, "clamp"), "▀") == 30);
    CHECK(count_of(line(drawing, "piston"), "↑") == 20);
    CHECK(line(drawing, "2").find("2 * 24 x 0.15") != std::string::npos);
    CHECK(line(drawing, "4").find("spacer") != std::string::npos);
    CHECK(count_of(line(drawing, "4"), "█") == 30);
    CHECK(line(drawing, "seat").find("Ø 22 to 24, 0.05 mm up") != std::string::npos);
    CHECK(drawing.find("clamp") < drawing.find("seat"));
    CHECK(drawing.find("seat") < drawing.find("piston"));
}

TEST_CASE("a floated plate is drawn with its stop, spring and bore", "[report]") {
    Stack stack;
    stack.shims = {Shim{13e-3, 0.20e-3, {}}};
    stack.clamp_radius = 9e-3;
    stack.bore_radius = 6.5e-3;
    stack.zone = {9e-3, 12e-3};
    stack.seat = {12e-3, 12e-3, 0.0};
    stack.edge = InnerEdge::free;
    stack.floating = Float{1.2e-3, 800.0, 2.0, 9e-3, 9e-3, 8e-3, RestsOn::hub};
    const std::string drawing = sketch(stack);
    CHECK(line(drawing, "stop").find("Ø 16, float 1.2 mm") != std::string::npos);
    CHECK(line(drawing, "spring").find("Ø 18, 2 N + 0.8 N/mm") != std::string::npos);
    CHECK(count_of(line(drawing, "1"), "▄") == 30);
    CHECK(line(drawing, "seat").find("knife edge") != std::string::npos);

    stack.floating->rests_on = RestsOn::seat;
    CHECK(count_of(line(sketch(stack), "seat"), "▄") == 1);
}
