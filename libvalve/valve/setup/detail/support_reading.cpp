#include <valve/core/units.hpp>
#include <valve/damper/support_check.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/support_text.hpp>

#include <fmt/format.h>

namespace valve::setup {
namespace {

/// The leg with its oil, from the volume or from the level.
damper::Leg leg_of(const LegText& text, const std::string& path, const damper::Cartridge& cartridge,
                   Reader& reader) {
    const auto at = [&](std::string_view key) { return joined(path, key); };
    damper::Leg leg = text.known;
    if (text.oil_volume && text.level) reader.fail_at(at("level"), "give oil or level, not both", at("oil"));
    if (text.oil_volume) {
        leg.oil_volume = *text.oil_volume;
        return leg;
    }
    if (!text.level) reader.fail_missing(path, "oil", "oil in the leg: its volume, or its level");
    if (!leg.column)
        reader.fail_missing(path, "column", "where the oil level is measured, to make a volume of it");
    reader.take(damper::check_column(*leg.column, cartridge), at("column")); // before it is used
    if (text.level->depth > leg.column->length)
        reader.fail_at(at("level.depth"), "lies below the column in which the level is measured",
                       at("column.length"));
    leg.oil_volume = damper::oil_volume(leg, cartridge, text.level->depth, text.level->method);
    if (!(leg.oil_volume > 0.0))
        reader.fail_at(at("level.depth"), "leaves no oil in the leg", at("chamber_volume"));
    if (!(leg.oil_volume < leg.chamber_volume))
        reader.fail_at(at("level.depth"),
                       fmt::format("stands for {:.4g} ml of oil, more than the leg holds at full extension",
                                   leg.oil_volume * 1e6),
                       at("chamber_volume"));
    return leg;
}

} // namespace

damper::Support read_support(const Node& node, const std::string& path, const damper::Cartridge& cartridge,
                             Reader& reader) {
    SupportText text;
    reader.read(node, path, support_keys(text));
    damper::Support& support = text.known;
    if (text.leg) support.leg = leg_of(*text.leg, joined(path, "leg"), cartridge, reader);
    support.breakaway = text.breakaway.value_or(support.friction);
    if (!text.breakaway) reader.assume(joined(path, "breakaway"), format_quantity(support.breakaway, "N"));
    return support;
}

} // namespace valve::setup
