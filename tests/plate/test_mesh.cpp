#include <support/catch.hpp>
#include <valve/plate/detail/mesh.hpp>

#include <algorithm>
#include <stdexcept>

using namespace valve::plate;

TEST_CASE("a mesh has a node on every edge and elements that grow outwards", "[plate]") {
    const std::vector<double> nodes = graded_nodes({15e-3, 6e-3, 9e-3, 12e-3});
    CHECK(nodes.front() == 6e-3);
    CHECK(nodes.back() == 15e-3);
    CHECK(node_at(nodes, 9e-3) > 0);
    CHECK(std::is_sorted(nodes.begin(), nodes.end()));
    CHECK(nodes.size() > 36);
    CHECK(nodes.size() < 46);
    CHECK(nodes[1] - nodes[0] < nodes[nodes.size() - 1] - nodes[nodes.size() - 2]);
}

TEST_CASE("edges that no calliper tells apart become one", "[plate]") {
    const std::vector<double> nodes = graded_nodes({6e-3, 10e-3, 10.004e-3, 15e-3}, {.elements = 3});
    CHECK(node_at(nodes, 10.004e-3) == node_at(nodes, 10e-3));
    CHECK_THROWS_AS(node_at(nodes, 11.7e-3), std::invalid_argument);
}

TEST_CASE("edges that span nothing make no mesh", "[plate]") {
    CHECK_THROWS_AS(graded_nodes({6e-3, 6.001e-3}), std::invalid_argument);
    CHECK_THROWS_AS(graded_nodes({0.0, 6e-3}), std::invalid_argument);
    CHECK_THROWS_AS(graded_nodes({}), std::invalid_argument);
}
