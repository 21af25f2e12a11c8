#include <valve/damper/steady.hpp>

namespace valve::damper {

VoidOnset find_void_onset(OnsetSearch& search) {
    VoidOnset onset;
    const auto look = [&](Chamber chamber) {
        const Onset found = search.voids(chamber);
        if (found.kind == Onset::Kind::ended)
            onset.error = onset.error ? *onset.error + "; " + found.why : found.why;
        return found.from();
    };
    onset.compression = look(Chamber::R);
    onset.rebound = look(Chamber::C);
    return onset;
}

VoidOnset find_void_onset(const Model& model, double travel, double top_speed) {
    OnsetSearch search(model, travel, top_speed);
    return find_void_onset(search);
}

} // namespace valve::damper
