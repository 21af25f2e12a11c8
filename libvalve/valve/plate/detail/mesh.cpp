#include <valve/plate/detail/mesh.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::plate {

std::vector<double> graded_nodes(std::vector<double> edges, const Grading& grading) {
    std::sort(edges.begin(), edges.end());
    std::vector<double> kept;
    for (const double edge : edges)
        if (kept.empty() || edge - kept.back() > grading.merge_distance) kept.push_back(edge);
    if (kept.size() < 2 || !(kept.front() > 0.0))
        throw std::invalid_argument("graded_nodes: the edges span no annulus");

    // Element size h ∝ c + (1 − c) s on the unit interval; equal steps of ∫ ds/h place the nodes.
    const double inner = kept.front();
    const double span = kept.back() - inner;
    const double c = grading.inner_size;
    const bool even = std::abs(1.0 - c) < 1e-12;
    const double total = even ? 1.0 : -std::log(c);
    auto place = [&](double radius) { // radius → share of the elements inside it
        const double s = (radius - inner) / span;
        return even ? s : std::log1p((1.0 - c) / c * s) / total;
    };
    auto radius_at = [&](double share) {
        return inner + span * (even ? share : c / (1.0 - c) * std::expm1(share * total));
    };

    std::vector<double> nodes{inner};
    for (std::size_t i = 1; i < kept.size(); ++i) {
        const double from = place(kept[i - 1]);
        const double to = place(kept[i]);
        const int pieces = std::max(1, static_cast<int>(std::lround(grading.elements * (to - from))));
        for (int k = 1; k < pieces; ++k)
            nodes.push_back(radius_at(from + (to - from) * k / pieces));
        nodes.push_back(kept[i]);
    }
    return nodes;
}

int node_at(const std::vector<double>& nodes, double radius, double merge_distance) {
    const auto nearest = std::min_element(nodes.begin(), nodes.end(), [radius](double a, double b) {
        return std::abs(a - radius) < std::abs(b - radius);
    });
    if (nearest == nodes.end() || std::abs(*nearest - radius) > merge_distance)
        throw std::invalid_argument("node_at: no node at this radius");
    return static_cast<int>(nearest - nodes.begin());
}

} // namespace valve::plate
