#include <solid/deck.hpp>
#include <solid/writer.hpp>

#include <algorithm>

namespace valve::validation::solid {
namespace {

std::string bottom_of(const Strip& strip) {
    return fmt::format("BOTTOM{}", strip.shim);
}
std::string top_of(const Strip& strip) {
    return fmt::format("TOP{}", strip.shim);
}

/// A face of every element of a strip: 1 is the bottom, 3 the top.
void write_surface(Writer& out, const std::string& name, const Strip& strip, int face) {
    out.line("*SURFACE, NAME={}, TYPE=ELEMENT", name);
    for (int e = 0; e < strip.elements(); ++e)
        out.line("{},S{}", strip.first_element + e, face);
}

void write_mesh(Writer& out, const Mesh& mesh) {
    out.line("*NODE");
    for (std::size_t i = 0; i < mesh.nodes.size(); ++i)
        out.line("{},{:.12g},{:.12g}", i + 1, mesh.nodes[i][0] / mm, mesh.nodes[i][1] / mm);
    out.line("*ELEMENT, TYPE=CAX8R, ELSET=ALL");
    for (std::size_t i = 0; i < mesh.elements.size(); ++i)
        out.line("{},{}", i + 1, fmt::join(mesh.elements[i], ","));
    for (const Strip& strip : mesh.shims) {
        write_surface(out, bottom_of(strip), strip, 1);
        write_surface(out, top_of(strip), strip, 3);
    }
    if (mesh.seat) write_surface(out, top_of(*mesh.seat), *mesh.seat, 3);
}

void write_sets(Writer& out, const stack::Stack& stack, const Mesh& mesh) {
    if (!stack.floating) {
        std::vector<int> clamp; // the inner faces
        for (const Strip& strip : mesh.shims)
            clamp.insert(clamp.end(), {strip.bottom.front(), strip.middle.front(), strip.top.front()});
        write_set(out, "NSET", "CLAMP", clamp);
    }
    write_set(out, "NSET", "WATCHED", {seat_node(stack, mesh), ring_node(mesh)});

    const Strip& face = mesh.face();
    std::vector<int> pressed;
    const int end = station_at(face, stack.seat.inner_radius);
    for (int e = station_at(face, stack.zone.inner_radius); e < end; ++e)
        pressed.push_back(face.first_element + e);
    write_set(out, "ELSET", "PRESSED", pressed);

    if (mesh.seat) {
        std::vector<int> block = mesh.seat->bottom;
        for (const std::vector<int>* row : {&mesh.seat->middle, &mesh.seat->top})
            block.insert(block.end(), row->begin(), row->end());
        write_set(out, "NSET", "SEAT", block);
    }
}

} // namespace

std::vector<ContactPair> contact_pairs(const Mesh& mesh) {
    std::vector<ContactPair> pairs;
    for (auto lower = mesh.shims.begin(); lower != mesh.shims.end(); ++lower) {
        double between = 0.0; // largest radius of the shims between the two
        for (auto upper = std::next(lower); upper != mesh.shims.end(); ++upper) {
            const double smaller = std::min(lower->stations.back(), upper->stations.back());
            if (between < smaller) {
                ContactPair pair{{lower->shim, upper->shim}, bottom_of(*upper), top_of(*lower)};
                // The smaller surface is the slave, so that every point of it has a partner.
                if (lower->stations.back() < upper->stations.back()) std::swap(pair.slave, pair.master);
                pairs.push_back(pair);
            }
            between = std::max(between, upper->stations.back());
        }
    }
    if (mesh.seat) pairs.push_back({{0, mesh.face().shim}, bottom_of(mesh.face()), top_of(*mesh.seat)});
    return pairs;
}

int seat_node(const stack::Stack& stack, const Mesh& mesh) {
    const int station = station_at(mesh.face(), stack.seat.inner_radius);
    return mesh.face().middle[static_cast<std::size_t>(station)];
}

int ring_node(const Mesh& mesh) {
    return mesh.shims.back().middle.front();
}

std::string deck(const stack::Stack& stack, const Mesh& mesh, const std::vector<double>& pressures,
                 const Fineness& fineness) {
    const std::vector<ContactPair> pairs = contact_pairs(mesh);
    Writer out;
    out.line("*HEADING\nAxisymmetric shim stack, r and z; mm, N, MPa");
    write_mesh(out, mesh);
    write_sets(out, stack, mesh);
    write_material(out, stack.shims.front().material);
    write_contacts(out, pairs, fineness);
    if (!stack.floating) out.line("*BOUNDARY\nCLAMP,1,2");
    if (mesh.seat) out.line("*BOUNDARY\nSEAT,1,2");
    if (stack.floating)
        write_load(out, pairs, fineness.increments,
                   fmt::format("*CLOAD\n{},2,{:.9g}", ring_node(mesh), -stack.floating->preload));
    else if (mesh.seat)
        write_load(out, pairs, fineness.increments,
                   fmt::format("*BOUNDARY\nSEAT,2,2,{:.9g}", stack.seat.height / mm));
    for (const double pressure : pressures)
        write_load(out, pairs, fineness.increments, fmt::format("*DLOAD\nPRESSED,P1,{:.9g}", pressure / MPa));
    return out.text();
}

} // namespace valve::validation::solid
