#include <solid/writer.hpp>

namespace valve::validation::solid {
namespace {

/// One step in at least `increments` increments; without `load` it holds what there is.
void write_step(Writer& out, const std::vector<ContactPair>& pairs, int increments, const std::string& load) {
    out.line("*STEP, NLGEOM, INC=1000");
    out.line("*STATIC\n{0:.9g},1.,1e-6,{0:.9g}", 1.0 / increments);
    // How much the number of contact springs may change in a converged iteration.
    out.line("*CONTROLS, PARAMETERS=CONTACT\n0.03,0.1,100,60");
    if (!load.empty()) out.line("{}", load);
    out.line("*NODE PRINT, NSET=WATCHED, FREQUENCY=1000, GLOBAL=YES\nU");
    for (const ContactPair& pair : pairs)
        out.line("*CONTACT PRINT, SLAVE={}, MASTER={}, FREQUENCY=1000\nCF", pair.slave, pair.master);
    out.line("*END STEP");
}

} // namespace

void write_set(Writer& out, const char* kind, const std::string& name, const std::vector<int>& members) {
    out.line("*{0}, {0}={1}", kind, name);
    for (const int member : members)
        out.line("{},", member);
}

void write_material(Writer& out, const plate::Material& material) {
    out.line("*MATERIAL, NAME=STRIP\n*ELASTIC\n{:.9g},{:.9g}", material.youngs_modulus / MPa,
             material.poisson_ratio);
    out.line("*SOLID SECTION, ELSET=ALL, MATERIAL=STRIP");
}

void write_contacts(Writer& out, const std::vector<ContactPair>& pairs, const Fineness& fineness) {
    if (pairs.empty()) return;
    out.line("*SURFACE INTERACTION, NAME=TOUCH");
    out.line("*SURFACE BEHAVIOR, PRESSURE-OVERCLOSURE=LINEAR\n{:.6e}", fineness.penalty / MPa_per_mm);
    for (const ContactPair& pair : pairs)
        out.line("*CONTACT PAIR, INTERACTION=TOUCH, TYPE=SURFACE TO SURFACE\n{},{}", pair.slave, pair.master);
}

void write_load(Writer& out, const std::vector<ContactPair>& pairs, int increments, const std::string& load) {
    write_step(out, pairs, increments, load);
    write_step(out, pairs, 1, "");
}

} // namespace valve::validation::solid
