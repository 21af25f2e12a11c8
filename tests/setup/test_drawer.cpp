#include <setup/files.hpp>
#include <setup/working_folder.hpp>
#include <support/catch.hpp>
#include <valve/setup/drawer.hpp>

using namespace valve::setup;
using Catch::Matchers::WithinRel;

TEST_CASE("a drawer is read with each size once", "[setup][drawer]") {
    const Drawer drawer = Drawer::parse(R"(format: 1
title: Van, left drawer
drawer:
  shims: [12 * 24 x 0.15, {outer: 22 mm, thickness: 0.10 mm, count: 4}, 2 * 24 x 0.15]
  sleeves: [1.65 mm, 1.40 mm, 1.65 mm]
  springs: [4.8 N/mm, 4.6]
  coils: [20, 0.8 N/mm]
  height: 2.5 mm
)",
                                        "drawer.yaml");
    CHECK(drawer.title == "Van, left drawer");
    REQUIRE(drawer.shims.size() == 2);
    CHECK(drawer.shims[0] == ShimSize{0.012, 0.15e-3, 14});
    CHECK(drawer.shims[1].count == 4);
    CHECK_THAT(drawer.shims[1].outer_radius, WithinRel(0.011, 1e-15));
    REQUIRE(drawer.sleeves.size() == 2); // rising, each once
    CHECK_THAT(drawer.sleeves[0], WithinRel(1.40e-3, 1e-15));
    REQUIRE(drawer.springs.size() == 2);
    CHECK_THAT(drawer.springs[0], WithinRel(4600.0, 1e-15));
    CHECK(drawer.coils == std::vector<double>{800.0, 20000.0});
    CHECK_THAT(drawer.height.value(), WithinRel(2.5e-3, 1e-15));
}

TEST_CASE("a drawer without a title bears the name of its file", "[setup][drawer]") {
    const Folder folder;
    const Drawer drawer = Drawer::load(folder.write("van.yaml", "format: 1\ndrawer: {sleeves: [1.4]}\n"));
    CHECK(drawer.title == "van.yaml");
    CHECK_FALSE(drawer.height);
    CHECK_THROWS_WITH(Drawer::load(test_file("bad")), contains_text("it is a folder"));
}

// Each file below bad/drawers holds one fault and stands beside the message it must give.
TEST_CASE("every wrong drawer file gives its message", "[setup][drawer][bad]") {
    const std::size_t files = check_bad_files(
        test_file("bad/drawers"), [](const std::string& name) { static_cast<void>(Drawer::load(name)); });
    CHECK(files >= 20);
}
