#include <solid/sector.hpp>
#include <solid/writer.hpp>
#include <valve/plate/detail/mesh.hpp>

#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::validation::solid {
namespace {

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

void refuse_others(const stack::Stack& stack) {
    if (stack.disc || stack.floating || stack.windows < 1)
        throw std::invalid_argument("solid::make_sector: a clamped stack with windows is needed");
    if (stack.seat.outer_radius != stack.seat.inner_radius || stack.seat.height != 0.0)
        throw std::invalid_argument("solid::make_sector: the seat must be a knife edge, level with the hub");
    for (const stack::Shim& shim : stack.shims)
        if (shim.material != stack.shims.front().material)
            throw std::invalid_argument("solid::make_sector: all shims must be of one material");
}

/// Angles of the nodes round the ring, two for each element [rad].
std::vector<double> angles(const stack::Stack& stack, const Division& division) {
    const double pitch = std::numbers::pi / stack.windows;
    std::vector<double> nodes;
    const auto divide = [&](double from, double to, int elements) {
        for (int i = 0; i < 2 * elements; ++i)
            nodes.push_back(from + (to - from) * i / (2 * elements));
    };
    divide(0.0, stack.coverage * pitch, division.port);
    divide(stack.coverage * pitch, pitch, division.land);
    nodes.push_back(pitch);
    return nodes;
}

/// Every second index is the end of an element; of a grid of three indices at most one lies between.
bool has_node(int radial, int angular, int height) {
    return radial % 2 + angular % 2 + height % 2 <= 1;
}

Slab add_slab(Sector& sector, const std::vector<double>& angles, std::vector<double> radii, double z,
              double thickness) {
    Slab slab;
    slab.stations = std::move(radii);
    const int elements = static_cast<int>(slab.stations.size()) - 1;
    for (int i = 0; i <= 2 * elements; ++i) {
        const double r = 0.5 * (slab.stations[at(i / 2)] + slab.stations[at((i + 1) / 2)]);
        slab.grid.emplace_back();
        for (int j = 0; j < static_cast<int>(angles.size()); ++j) {
            std::array<int, 3> column{};
            for (int k = 0; k < 3; ++k) {
                if (!has_node(i, j, k)) continue;
                const double angle = angles[at(j)];
                sector.nodes.push_back({r * std::cos(angle), z + 0.5 * k * thickness, -r * std::sin(angle)});
                column[at(k)] = static_cast<int>(sector.nodes.size());
            }
            slab.grid.back().push_back(column);
        }
    }
    slab.first_element = static_cast<int>(sector.elements.size()) + 1;
    // Nodes of an element on its own grid: corners below and above, then between them below, above, upright.
    constexpr std::array<std::array<int, 3>, 20> places{
        {{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {0, 0, 2}, {2, 0, 2}, {2, 2, 2},
         {0, 2, 2}, {1, 0, 0}, {2, 1, 0}, {1, 2, 0}, {0, 1, 0}, {1, 0, 2}, {2, 1, 2},
         {1, 2, 2}, {0, 1, 2}, {0, 0, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}}};
    for (int e = 0; e < elements; ++e)
        for (int a = 0; a < sector.round(); ++a) {
            std::array<int, 20> element{};
            for (std::size_t p = 0; p < places.size(); ++p)
                element[p] = slab.grid[at(2 * e + places[p][0])][at(2 * a + places[p][1])][at(places[p][2])];
            sector.elements.push_back(element);
        }
    return slab;
}

/// Nodes of a slab that `choose` picks by their place on its grid.
template <class Choose>
void collect(const Slab& slab, const Choose& choose, std::vector<int>& nodes) {
    for (std::size_t i = 0; i < slab.grid.size(); ++i)
        for (std::size_t j = 0; j < slab.grid[i].size(); ++j)
            for (const int node : slab.grid[i][j])
                if (node > 0 && choose(i, j)) nodes.push_back(node);
}

void write_mesh(Writer& out, const Sector& sector) {
    out.line("*NODE");
    for (std::size_t i = 0; i < sector.nodes.size(); ++i)
        out.line("{},{:.12g},{:.12g},{:.12g}", i + 1, sector.nodes[i][0] / mm, sector.nodes[i][1] / mm,
                 sector.nodes[i][2] / mm);
    out.line("*ELEMENT, TYPE=C3D20R, ELSET=ALL");
    for (std::size_t i = 0; i < sector.elements.size(); ++i) {
        const std::array<int, 20>& nodes = sector.elements[i];
        out.line("{},{},", i + 1, fmt::join(nodes.begin(), nodes.begin() + 10, ","));
        out.line("{}", fmt::join(nodes.begin() + 10, nodes.end(), ","));
    }
}

/// A face of every element of a slab: 1 is the bottom, 2 the top.
void write_surface(Writer& out, const std::string& name, const Sector& sector, const Slab& slab, int face) {
    out.line("*SURFACE, NAME={}, TYPE=ELEMENT", name);
    const int count = (static_cast<int>(slab.stations.size()) - 1) * sector.round();
    for (int e = 0; e < count; ++e)
        out.line("{},S{}", slab.first_element + e, face);
}

void write_sets(Writer& out, const stack::Stack& stack, const Sector& sector) {
    std::vector<int> clamp; // the inner faces
    std::vector<int> cuts;  // the faces on both planes of symmetry
    for (const Slab& slab : sector.shims) {
        const std::size_t end = slab.grid.front().size() - 1;
        collect(
            slab, [](std::size_t i, std::size_t) { return i == 0; }, clamp);
        collect(
            slab, [end](std::size_t i, std::size_t j) { return i > 0 && (j == 0 || j == end); }, cuts);
    }
    write_set(out, "NSET", "CLAMP", clamp);
    write_set(out, "NSET", "CUTS", cuts);
    const std::array<int, 2> watched = seat_nodes(stack, sector);
    write_set(out, "NSET", "WATCHED", {watched.begin(), watched.end()});

    std::vector<int> pressed;
    const Slab& face = sector.shims.front();
    const int last = plate::node_at(face.stations, stack.seat.inner_radius);
    for (int e = plate::node_at(face.stations, stack.zone.inner_radius); e < last; ++e)
        for (int a = 0; a < sector.division.port; ++a)
            pressed.push_back(sector.element(face, e, a));
    write_set(out, "ELSET", "PRESSED", pressed);
}

/// Neighbours in the list, from the face shim: none may be larger than the one below it.
std::vector<ContactPair> contact_pairs(const Sector& sector) {
    std::vector<ContactPair> pairs;
    for (std::size_t i = 1; i < sector.shims.size(); ++i) {
        const int lower = sector.shims[i - 1].shim;
        const int upper = sector.shims[i].shim;
        pairs.push_back({{lower, upper}, fmt::format("BOTTOM{}", upper), fmt::format("TOP{}", lower)});
    }
    return pairs;
}

} // namespace

Sector make_sector(const stack::Stack& stack, const Fineness& fineness, const Division& division) {
    refuse_others(stack);
    const std::vector<double> radii = stations(stack, fineness);
    const std::vector<double> round = angles(stack, division);
    Sector sector;
    sector.division = division;
    double z = 0.0;
    for (std::size_t i = 0; i < stack.shims.size(); ++i) {
        const stack::Shim& shim = stack.shims[i];
        if (i > 0 && shim.outer_radius > stack.shims[i - 1].outer_radius)
            throw std::invalid_argument("solid::make_sector: no shim may be larger than the one below it");
        const int end = plate::node_at(radii, shim.outer_radius);
        sector.shims.push_back(
            add_slab(sector, round, {radii.begin(), radii.begin() + end + 1}, z, shim.thickness));
        sector.shims.back().shim = static_cast<int>(i) + 1;
        z += shim.thickness;
    }
    return sector;
}

std::array<int, 2> seat_nodes(const stack::Stack& stack, const Sector& sector) {
    const Slab& face = sector.shims.front();
    const auto& ring = face.grid[at(2 * plate::node_at(face.stations, stack.seat.inner_radius))];
    return {ring.front()[1], ring.back()[1]};
}

std::string deck(const stack::Stack& stack, const Sector& sector, const std::vector<double>& pressures,
                 const Fineness& fineness) {
    const std::vector<ContactPair> pairs = contact_pairs(sector);
    Writer out;
    out.line("*HEADING\nHalf a pitch of a shim stack under windows; mm, N, MPa");
    write_mesh(out, sector);
    for (const Slab& slab : sector.shims) {
        write_surface(out, fmt::format("BOTTOM{}", slab.shim), sector, slab, 1);
        write_surface(out, fmt::format("TOP{}", slab.shim), sector, slab, 2);
    }
    write_sets(out, stack, sector);
    write_material(out, stack.shims.front().material);
    write_contacts(out, pairs, fineness);
    out.line("*TRANSFORM, NSET=CUTS, TYPE=C\n0.,0.,0.,0.,1.,0.");
    out.line("*BOUNDARY\nCLAMP,1,3\nCUTS,2,2");
    for (const double pressure : pressures)
        write_load(out, pairs, fineness.increments, fmt::format("*DLOAD\nPRESSED,P1,{:.9g}", pressure / MPa));
    return out.text();
}

std::string buckling_deck(const stack::Stack& stack, const Sector& sector,
                          const std::vector<double>& pressures, double step, const Fineness& fineness) {
    return deck(stack, sector, pressures, fineness) +
           fmt::format("*STEP, PERTURBATION\n*BUCKLE\n1\n*DLOAD, OP=NEW\nPRESSED,P1,{:.9g}\n*END STEP\n",
                       step / MPa);
}

} // namespace valve::validation::solid
