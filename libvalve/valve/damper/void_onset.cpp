#include <valve/damper/steady.hpp>

namespace valve::damper {

std::optional<std::string> VoidOnset::error() const {
    if (compression_end && rebound_end) return compression_end->why + "; " + rebound_end->why;
    if (compression_end) return compression_end->why;
    if (rebound_end) return rebound_end->why;
    return std::nullopt;
}

VoidOnset find_void_onset(OnsetSearch& search) {
    VoidOnset onset;
    const auto look = [&](Chamber chamber, std::optional<VoidOnset::End>& end) {
        const Onset found = search.voids(chamber);
        if (found.kind == Onset::Kind::ended) end = {found.speed, found.why};
        return found.from();
    };
    onset.compression = look(Chamber::R, onset.compression_end);
    onset.rebound = look(Chamber::C, onset.rebound_end);
    return onset;
}

VoidOnset find_void_onset(const Model& model, double travel, double top_speed) {
    OnsetSearch search(model, travel, top_speed);
    return find_void_onset(search);
}

} // namespace valve::damper
