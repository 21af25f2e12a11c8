#include <solid/mesh.hpp>
#include <valve/plate/detail/mesh.hpp>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace valve::validation::solid {
namespace {

/// Width and depth of the rigid block that stands for the seat [m].
constexpr double seat_block = 0.05e-3;

/// Appends to `radii` the stations from its last one to `to`: fine at both ends, coarse between.
void divide(std::vector<double>& radii, double to, const Fineness& fineness) {
    const double from = radii.back();
    const double half = 0.5 * (to - from);
    std::vector<double> steps;
    double reached = 0.0;
    double size = fineness.edge_size;
    while (reached < half) {
        steps.push_back(size);
        reached += size;
        size = std::min(size * fineness.growth, fineness.largest_size);
    }
    const double scale = half / reached;
    for (const double step : steps)
        radii.push_back(radii.back() + scale * step);
    for (auto step = steps.rbegin(); step != steps.rend(); ++step)
        radii.push_back(radii.back() + scale * *step);
    radii.back() = to;
}

Strip add_strip(Mesh& mesh, std::vector<double> radii, double z, double thickness) {
    Strip strip;
    strip.stations = std::move(radii);
    auto add_node = [&mesh](double r, double height) {
        mesh.nodes.push_back({r, height});
        return static_cast<int>(mesh.nodes.size());
    };
    auto add_pair = [&](double r) {
        strip.bottom.push_back(add_node(r, z));
        strip.top.push_back(add_node(r, z + thickness));
    };
    for (std::size_t k = 0; k < strip.stations.size(); ++k) {
        const double r = strip.stations[k];
        if (k > 0) add_pair(0.5 * (strip.stations[k - 1] + r));
        add_pair(r);
        strip.middle.push_back(add_node(r, z + 0.5 * thickness));
    }
    strip.first_element = static_cast<int>(mesh.elements.size()) + 1;
    const std::vector<int>& b = strip.bottom;
    const std::vector<int>& m = strip.middle;
    const std::vector<int>& t = strip.top;
    for (std::size_t e = 0; e + 1 < strip.stations.size(); ++e) {
        const std::size_t k = 2 * e;
        mesh.elements.push_back({b[k], b[k + 2], t[k + 2], t[k], b[k + 1], m[e + 1], t[k + 1], m[e]});
    }
    return strip;
}

bool rests_on_seat(const stack::Stack& stack) {
    return stack.floating->rests_on == stack::RestsOn::seat && stack.edge == stack::InnerEdge::free &&
           stack.floating->ring_radius == stack.bore_radius &&
           stack.floating->spring_radius == stack.bore_radius;
}

} // namespace

std::vector<double> stations(const stack::Stack& stack, const Fineness& fineness) {
    std::vector<double> edges{stack.zone.inner_radius, stack.seat.inner_radius};
    for (const stack::Shim& shim : stack.shims)
        if (!is_spacer(stack, shim)) edges.push_back(shim.outer_radius);
    std::sort(edges.begin(), edges.end());
    std::vector<double> radii{stack.floating ? stack.bore_radius : stack.clamp_radius};
    for (const double edge : edges)
        if (edge > radii.back()) divide(radii, edge, fineness);
    return radii;
}

Mesh make_mesh(const stack::Stack& stack, const Fineness& fineness) {
    if (stack.disc) throw std::invalid_argument("solid::make_mesh: a rigid disc has no shims");
    if (stack.floating && !rests_on_seat(stack))
        throw std::invalid_argument("solid::make_mesh: a floated stack must rest on its seat, free, and have "
                                    "its spring on its bore");
    if (stack.seat.outer_radius != stack.seat.inner_radius)
        throw std::invalid_argument("solid::make_mesh: the seat must be a knife edge");
    if (stack.coverage != 1.0)
        throw std::invalid_argument("solid::make_mesh: the ports must cover the whole ring");
    for (const stack::Shim& shim : stack.shims)
        if (shim.material != stack.shims.front().material)
            throw std::invalid_argument("solid::make_mesh: all shims must be of one material");
    const std::vector<double> radii = stations(stack, fineness);
    Mesh mesh;
    double z = 0.0;
    for (std::size_t i = 0; i < stack.shims.size(); ++i) {
        const stack::Shim& shim = stack.shims[i];
        if (!is_spacer(stack, shim)) {
            const auto end = std::find(radii.begin(), radii.end(), shim.outer_radius);
            mesh.shims.push_back(add_strip(mesh, {radii.begin(), end + 1}, z, shim.thickness));
            mesh.shims.back().shim = static_cast<int>(i) + 1;
        }
        z += shim.thickness;
    }
    if (stack.seat.height > 0.0 || stack.floating) {
        const double inner = stack.seat.inner_radius;
        mesh.seat = add_strip(mesh, {inner, inner + seat_block}, -seat_block, seat_block);
    }
    return mesh;
}

int station_at(const Strip& strip, double radius) {
    return plate::node_at(strip.stations, radius);
}

} // namespace valve::validation::solid
