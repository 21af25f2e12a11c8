#include <valve/damper/model.hpp>
#include <valve/report/end_cups.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

namespace valve::report {

namespace {

using damper::EndCup;
using damper::Stroke;

std::string line(const EndCup& cup, Stroke stroke) {
    const bool in_C = stroke == Stroke::compression;
    std::string gap = trim_mm(cup.gap) + " mm";
    if (cup.entry_gap != cup.gap) gap = fmt::format("{} to {}", trim_mm(cup.entry_gap), gap);
    std::string text =
        fmt::format("{}: a plug of {} mm enters its cup over the {} {} mm of travel, in {}, gap {}",
                    in_C ? "end of stroke" : "top out", trim_mm(cup.plug), in_C ? "last" : "first",
                    trim_mm(cup.length), in_C ? "C" : "R round the rod", gap);
    if (cup.hole) text += fmt::format(", hole Ø {}", trim_mm(*cup.hole));
    if (cup.ways == flow::BleedWays::one) text += "; a check lets it leave freely";
    return text;
}

} // namespace

std::vector<std::string> end_cup_lines(const damper::Cartridge& cartridge) {
    std::vector<std::string> lines;
    if (cartridge.end_of_stroke) lines.push_back(line(*cartridge.end_of_stroke, Stroke::compression));
    if (cartridge.top_out) lines.push_back(line(*cartridge.top_out, Stroke::rebound));
    return lines;
}

} // namespace valve::report
