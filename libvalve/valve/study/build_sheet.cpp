#include <valve/core/constants.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/flow/oil.hpp>
#include <valve/study/adjusters.hpp>
#include <valve/study/build_sheet.hpp>
#include <valve/study/reading.hpp>

#include <algorithm>
#include <utility>

namespace valve::study {

namespace {

using Figures = std::vector<BenchFigure>;

BenchFigure figure(BenchItem item, double value, std::string place = {}) {
    BenchFigure made;
    made.item = item;
    made.place = std::move(place);
    made.value = value;
    return made;
}

void add_valve(Figures& figures, const std::string& name, const stack::Stack& stack) {
    if (stack.seat.height != 0.0) figures.push_back(figure(BenchItem::seat_height, stack.seat.height, name));
    if (!stack.floating) return;
    const stack::Float& coil = *stack.floating;
    BenchFigure travel = figure(BenchItem::float_travel, coil.travel, name);
    if (!stack.disc) {
        travel.shims_height = height_of(stack.shims);
        travel.sleeve = coil.travel + travel.shims_height;
    }
    figures.push_back(travel);
    figures.push_back(figure(BenchItem::coil_rate, coil.spring_rate, name));
    figures.push_back(figure(BenchItem::coil_preload, coil.preload, name));
    figures.back().has_adjuster = coil.adjuster.has_value();
}

void add_reservoir(Figures& figures, const damper::Reservoir& reservoir) {
    switch (reservoir.kind) {
    case damper::ReservoirKind::spring_piston:
        figures.push_back(figure(BenchItem::reservoir_rate, reservoir.spring_rate));
        figures.push_back(figure(BenchItem::reservoir_spring, reservoir.preload));
        break;
    case damper::ReservoirKind::bladder:
    case damper::ReservoirKind::gas_piston:
        figures.push_back(figure(BenchItem::gas_charge, reservoir.gas_pressure - p_atm));
        figures.push_back(figure(BenchItem::gas_volume, reservoir.gas_volume));
        break;
    case damper::ReservoirKind::leg:
        break; // told with the leg
    }
}

void add_leg(Figures& figures, const damper::Leg& leg, const damper::Cartridge& cartridge) {
    figures.push_back(figure(BenchItem::oil_volume, leg.oil_volume));
    if (leg.column) {
        const double depth = oil_depth(leg, cartridge, {});
        if (depth >= 0.0 && depth <= leg.column->length)
            figures.push_back(figure(BenchItem::oil_level, depth));
    }
    figures.push_back(figure(BenchItem::leg_pressure, leg.pressure - p_atm));
}

void add_support(Figures& figures, const damper::SetUp& unit) {
    if (!unit.support) return;
    const damper::Support& support = *unit.support;
    if (support.spring) {
        for (const auto& [item, value] : {std::pair{BenchItem::spring_rate, support.spring->rate},
                                          std::pair{BenchItem::spring_preload, support.spring->preload}}) {
            figures.push_back(figure(item, value));
            figures.back().each_leg = support.legs == 2;
        }
    }
    if (support.leg) add_leg(figures, *support.leg, unit.cartridge);
}

Figures figures_of(const setup::Reading& reading) {
    Figures figures;
    for (const auto& [name, valve] : valves_of(reading))
        add_valve(figures, name, valve->stack);
    for (const Adjuster& adjuster : adjusters(reading)) {
        figures.push_back(figure(BenchItem::adjuster, adjuster.setting, adjuster.name));
        figures.back().range = adjuster.range;
        figures.back().steps = adjuster.steps;
    }
    if (!reading.unit) return figures;
    figures.push_back(
        figure(BenchItem::viscosity, flow::kinematic_viscosity(reading.unit->oil, flow::oils_named_at)));
    add_reservoir(figures, reading.unit->reservoir);
    add_support(figures, *reading.unit);
    return figures;
}

const BenchFigure* same(const Figures& figures, const BenchFigure& as) {
    const auto found = std::find_if(figures.begin(), figures.end(), [&](const BenchFigure& other) {
        return other.item == as.item && other.place == as.place;
    });
    return found == figures.end() ? nullptr : &*found;
}

const flow::Valve* named(const std::vector<NamedValve>& valves, const std::string& name) {
    const auto found = std::find_if(valves.begin(), valves.end(),
                                    [&](const NamedValve& valve) { return valve.name == name; });
    return found == valves.end() ? nullptr : found->valve;
}

/// The differences of one valve that are not its shims, or all it has.
std::vector<setup::Difference> other_changes(const std::vector<setup::Difference>& changes,
                                             const std::string& valve, bool is_alone) {
    const std::string prefix = is_alone ? valve + "." : "valves." + valve + ".";
    std::vector<setup::Difference> found;
    for (const setup::Difference& change : changes)
        if (change.key.starts_with(prefix) && change.key != prefix + "shims") found.push_back(change);
    return found;
}

} // namespace

bool BenchStack::other_shims() const {
    return found != nullptr && found->stack.shims != built->stack.shims;
}

BuildSheet build_sheet(const setup::Reading& built, const setup::Reading* found,
                       std::vector<setup::Difference> changes) {
    BuildSheet sheet{{}, figures_of(built), std::nullopt, {}, {}, std::move(changes)};
    if (built.unit) sheet.reservoir = BenchReservoir{built.unit->reservoir.kind};
    const std::vector<NamedValve> before = found == nullptr ? std::vector<NamedValve>{} : valves_of(*found);
    const std::vector<NamedValve> after = valves_of(built);
    for (const auto& [name, valve] : after) {
        BenchStack bench{name, valve, named(before, name)};
        bench.is_new = found != nullptr && bench.found == nullptr;
        bench.others = other_changes(sheet.changes, name, !built.unit);
        sheet.stacks.push_back(bench);
    }
    if (found == nullptr) return sheet;
    for (const NamedValve& valve : before)
        if (named(after, valve.name) == nullptr) sheet.valves_out.push_back(valve.name);
    if (built.unit && found->unit && found->unit->reservoir.kind != built.unit->reservoir.kind)
        sheet.reservoir->found = found->unit->reservoir.kind;
    const Figures found_figures = figures_of(*found);
    for (BenchFigure& one : sheet.figures) {
        const BenchFigure* was = same(found_figures, one);
        if (was != nullptr) one.as_found = was->value;
        one.is_new = was == nullptr;
    }
    for (const BenchFigure& was : found_figures)
        if (same(sheet.figures, was) == nullptr) sheet.comes_out.push_back(was);
    return sheet;
}

} // namespace valve::study
