#include <stack/samples.hpp>
#include <support/catch.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <array>

using namespace valve::stack;

namespace {

Stack taper() {
    Stack stack = testing::check_plate();
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    stack.shims = {{13e-3, 0.2e-3, {}}, {11.5e-3, 0.15e-3, {}}, {9e-3, 0.3e-3, {}}, {10.5e-3, 0.2e-3, {}}};
    return stack;
}

} // namespace

TEST_CASE("shapes are those of the states at the same pressures", "[stack]") {
    const std::array<double, 3> pressures{5e5, 0.0, 2e5};
    for (const Stack& stack : {taper(), testing::check_plate()}) {
        const Solution solution(stack);
        std::vector<StackShape> shapes;
        for (const double pressure : pressures)
            shapes.push_back(solution.shape(pressure));
        for (std::size_t i = 0; i < shapes.size(); ++i) {
            CHECK(shapes[i].state.pressure == pressures[i]);
            const ShimShape& face = shapes[i].shims.front();
            CHECK(face.shim == 1);
            CHECK(std::is_sorted(face.radius.begin(), face.radius.end()));
            // The last node is the shim's edge.
            CHECK_THAT(face.radius.back(), WithinAbs(stack.shims.front().outer_radius, 1e-12));
            CHECK_THAT(face.lift.back(), WithinAbs(shapes[i].state.edge_lift, 1e-15));
        }
    }
}

TEST_CASE("shapes leave out what does not bend, and shims do not overlap", "[stack]") {
    const StackShape shape = Solution(taper()).shape(10e5);
    REQUIRE(shape.shims.size() == 3); // 1, 2 and 4: the third is no larger than the clamp
    CHECK(shape.shims.back().shim == 4);
    const ShimShape& face = shape.shims[0];
    const ShimShape& second = shape.shims[1];
    for (std::size_t i = 0; i < second.radius.size(); ++i) {
        CHECK(second.radius[i] == face.radius[i]);
        CHECK(second.lift[i] - face.lift[i] > -1e-7 * face.lift.back());
    }
    CHECK(face.lift.back() > 0.05e-3); // it does bend
}

TEST_CASE("a rigid disc has a state and no bent shims", "[stack]") {
    Stack stack = testing::check_plate();
    stack.shims.clear();
    stack.disc = Disc{13e-3, 5e-3};
    const StackShape shape = Solution(stack).shape(1e5);
    CHECK(shape.shims.empty());
    CHECK(shape.state.float_lift > 0.0);
}
