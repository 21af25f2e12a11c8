#include <valve/damper/choose.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/damper/linkage.hpp>
#include <valve/damper/sag.hpp>
#include <valve/study/detail/as_is.hpp>
#include <valve/study/diagnosis.hpp>
#include <valve/study/headline.hpp>
#include <valve/study/lead.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/ride_remark.hpp>
#include <valve/study/rider.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::study {

namespace {

using damper::Place;
using setup::Must;

/// A rule as a line of a goal, and below which keys its cure is looked for.
struct Held {
    Rule rule;
    GoalLine line;
    std::vector<std::string> suspects;
    std::vector<std::string> first = {}; ///< of them, where it is looked for before all others
    /// What comes before the line where today's figure breaks it; then its cure holds both, and in no case
    /// does it make this worse.
    std::optional<GoalLine> worst = std::nullopt;
    std::optional<GoalLine> enough = std::nullopt; ///< where today's figure meets it, the rule holds by it
};

GoalLine line(const FigureRequest& figure, Must must, double amount,
              std::optional<double> within = std::nullopt) {
    GoalLine made{figure, must, {amount, false}};
    if (within) made.within = Amount{*within, false};
    return made;
}

const std::vector<std::string> ways_in{"valves.base.refill.", "reservoir", "oil."};
const std::vector<std::string> ways_through{"valves.piston.compression.", "valves.base.compression."};

void hold_refill(std::vector<Held>& list, const damper::SetUp& unit) {
    list.push_back({Rule::refills_on_rebound,
                    line({Quantity::void_onset_rebound}, Must::at_least, stony_speed), ways_in});
    list.push_back({Rule::refills_hanging,
                    line({Quantity::void_onset_near_extension_rebound}, Must::at_least, hanging_speed),
                    ways_in});
    if (unit.valves[Place::base_refill])
        list.push_back({Rule::check_opens,
                        line({Quantity::refill_deficit, -hanging_speed}, Must::at_most, most_deficit),
                        ways_in});
}

void hold_compression(std::vector<Held>& list, const damper::SetUp& unit) {
    std::vector<std::string> suspects = ways_through;
    suspects.emplace_back("reservoir");
    list.push_back({Rule::fills_inwards, line({Quantity::void_onset_compression}, Must::at_least, fast_speed),
                    suspects});
    if (margin_decides(unit))
        list.push_back({Rule::base_leads, line({Quantity::balance_negative_from}, Must::at_least, fast_speed),
                        ways_through});
}

void hold_ports(std::vector<Held>& list, const damper::SetUp& unit) {
    for (const auto& [place, quantity] :
         {std::pair{Place::base_compression, Quantity::ports_lead_base_compression},
          std::pair{Place::piston_compression, Quantity::ports_lead_piston_compression},
          std::pair{Place::piston_rebound, Quantity::ports_lead_piston_rebound}}) {
        if (!unit.valves[place]) continue;
        // A plate on a light coil is there to let oil pass, and its ports may be all that is left.
        const bool is_check =
            unit.valves[place]->stack.shims.size() == 1 && unit.valves[place]->stack.floating;
        if (is_check) continue;
        // A stiffer stack or coil hides narrow ports by damping more: wider ones come first.
        const std::string valve = "valves." + std::string(damper::name(place)) + ".";
        list.push_back({Rule::ports_are_wide,
                        line({quantity}, Must::at_least, stony_speed),
                        {valve},
                        {valve + "ports."}});
    }
}

void hold_shims(std::vector<Held>& list) {
    list.push_back({Rule::shims_keep_shape,
                    line({Quantity::shims_set_from}, Must::at_least, hardest_speed),
                    {"valves."}});
    list.push_back(
        {Rule::shims_last, line({Quantity::shims_life_from}, Must::at_least, stony_speed), {"valves."}});
}

/// `carried`: the weight with the rider, along all legs as they rest under it [N].
void hold_support(std::vector<Held>& list, const damper::SetUp& unit, double carried) {
    list.push_back({Rule::moves_freely,
                    line({Quantity::breakaway}, Must::at_most, sticky_share * carried),
                    {"support.friction", "reservoir"}});
    // Shares of the wheel's travel, figures along the unit.
    const damper::Linkage linkage(*unit.support->load);
    const double wheel = linkage.wheel_travel(unit.cartridge.travel);
    const auto between = [&](Quantity sag, double least, double most) {
        const double low = linkage.at(least * wheel).travel;
        const double high = linkage.at(most * wheel).travel;
        return line({sag}, Must::is, 0.5 * (low + high), 0.5 * (high - low));
    };
    // What carries: the coil, and where there is none the air.
    const std::vector<std::string> carrying{unit.support->spring ? "support.spring."
                                                                 : "support.leg.pressure"};
    list.push_back(
        {Rule::spring_fits, between(Quantity::rider_sag, usual_sag_least, usual_sag_most), carrying});
    list.push_back(
        {Rule::rate_fits, between(Quantity::free_sag, usual_free_sag_least, usual_free_sag_most), carrying});
}

/// What the support gives at full travel where the oil leaves as much air as is pressed to `ratio` times its
/// pressure there, or without oil where that is pressed further [N].
double support_pressed(const damper::SetUp& unit, double ratio) {
    damper::SetUp filled = unit;
    damper::Leg& leg = filled.support->leg.value();
    const double shrinks = std::pow(ratio, 1.0 / leg.exponent);
    const double swept = damper::air_area(leg, unit.cartridge) * unit.cartridge.travel;
    leg.oil_volume = std::max(damper::least_oil, leg.chamber_volume - swept * shrinks / (shrinks - 1.0));
    return damper::SupportLaw(filled).at(unit.cartridge.travel).force;
}

/// The oil in a leg, by what its air does at full travel: the rest of the support there stays.
void hold_oil(std::vector<Held>& list, const damper::SetUp& unit) {
    if (!unit.support->leg) return;
    const double low = support_pressed(unit, least_air_ratio);
    const double high = support_pressed(unit, most_air_ratio);
    FigureRequest figure{Quantity::support_force};
    figure.travel_share = 1.0;
    list.push_back(
        {Rule::oil_fits, line(figure, Must::is, 0.5 * (low + high), 0.5 * (high - low)), {"support.leg."}});
}

void hold_end(std::vector<Held>& list, const damper::SetUp& unit, const RideEvent& event) {
    FigureRequest figure{Quantity::closing_speed};
    figure.event = event;
    // A softer stop met slower may still end in harder metal.
    FigureRequest metal{Quantity::metal_speed};
    metal.event = event;
    GoalLine none = line(metal, Must::at_most, 0.0);
    none.never_worse = true;
    // Into a long stop a wheel goes on every bump, with travel left.
    FigureRequest travel{Quantity::peak_travel};
    travel.event = event;
    list.push_back({Rule::ends_softly,
                    line(figure, Must::at_most, soft_closing),
                    {"support.leg.", "support.spring.", "valves.base.compression.bleed.",
                     "valves.base.compression.shims", "valves.piston.compression.shims"},
                    {},
                    none,
                    line(travel, Must::at_most, (1.0 - reserve_share) * unit.cartridge.travel)});
}

void hold_extension(std::vector<Held>& list, const RideEvent& event) {
    FigureRequest figure{Quantity::extension_speed};
    figure.event = event;
    list.push_back({Rule::extends_softly,
                    line(figure, Must::at_most, soft_extension),
                    {"valves.piston.rebound.", "support.leg.pressure", "support.spring."}});
}

std::vector<Held> rules(const setup::Reading& reading, const std::vector<RideEvent>& events) {
    const damper::SetUp& unit = *reading.unit;
    const HeadlineParts parts = parts_of({&reading});
    std::vector<Held> list;
    hold_refill(list, unit);
    hold_compression(list, unit);
    double rubbing = least_rubbing;
    double carried = 0.0;
    if (parts.sag) {
        carried = damper::sag(damper::SupportLaw(unit), *unit.support->load, true).force;
        rubbing = std::max(rubbing, rubbing_share * carried / unit.support->legs);
    }
    list.push_back({Rule::reservoir_is_free,
                    line({Quantity::felt_reservoir_friction}, Must::at_most, rubbing),
                    {"reservoir"}});
    hold_ports(list, unit);
    if (parts.stress) hold_shims(list);
    if (parts.sag) hold_support(list, unit, carried);
    if (parts.support) hold_oil(list, unit);
    for (const RideEvent& event : events) {
        hold_end(list, unit, event);
        hold_extension(list, event);
    }
    return list;
}

/// Up to which rod speed figures are looked for: `asked`, or as far as a rule goes.
double furthest_speed(const std::vector<Held>& list, double asked) {
    Goal goal;
    for (const Held& held : list)
        goal.lines.push_back(held.line);
    return goal.top_speed(asked);
}

/// Looks for what mends a broken rule: among what it names first, and where that does not, among all else
/// that it suspects.
void mend(Judgement& broken, const Held& held, const setup::Document& document, const EvaluateOptions& at,
          damper::LiftCache& lifts, AsIs& as_is) {
    AdviseOptions options;
    options.at = at;
    options.most_pairs = 0;
    options.is_for_one = true;
    Goal goal{document.path(), {}, {held.line}};
    if (held.worst) goal.lines.push_back(*held.worst);
    for (const std::vector<std::string>* where : {&held.first, &held.suspects}) {
        if (where->empty()) continue;
        options.only = *where;
        const Advice advice = advise(document, goal, options, lifts, as_is);
        broken.nearest = advice.nearest;
        if (advice.changes.empty()) continue;
        broken.mend = advice.changes.front();
        return;
    }
}

/// What a change does to other rules, as far as their figures are solved there: those of `sound` that hold no
/// more, and those of `faults` but `mended` that are further off by what a rider notices.
void tell_harm(Judgement& mended, const setup::Document& changed, const std::vector<Judgement>& sound,
               const std::vector<Judgement>& faults, const EvaluateOptions& at, damper::LiftCache& lifts) {
    const setup::Reading reading = setup::read(changed);
    Evaluation then(reading, at, lifts);
    const auto hold = [&](const Judgement& rule, std::vector<BrokenRule>& list, double harmless_steps) {
        Figure figure = evaluate(then, rule.figure.request());
        Target target = rule.target;
        target.line.never_worse = false; // there any step is endless
        const std::optional<LineError> error = error_of(target, figure, at.top_speed);
        if (error && std::abs(error->steps) > std::abs(rule.error.steps) + harmless_steps)
            list.push_back({rule.rule, std::move(figure)});
    };
    for (const Judgement& rule : sound)
        hold(rule, mended.breaks, 0.0);
    for (const Judgement& rule : faults)
        if (&rule != &mended) hold(rule, mended.worsens, 1.0);
}

} // namespace

Diagnosis diagnose(const setup::Document& document, const EvaluateOptions& at, damper::LiftCache& lifts,
                   const std::vector<RideEvent>& events) {
    Diagnosis diagnosis;
    diagnosis.file = document.path();
    diagnosis.reading = setup::read(document);
    diagnosis.at = at;
    diagnosis.shape = lifts.options().shape;
    unit_of(diagnosis.file, diagnosis.reading);
    require_rides(diagnosis.file, diagnosis.reading, events);
    const std::vector<Held> held_to = rules(diagnosis.reading, events);
    diagnosis.at.top_speed = furthest_speed(held_to, at.top_speed);
    const double top_speed = diagnosis.at.top_speed;
    Evaluation as_is(diagnosis.reading, diagnosis.at, lifts);
    AsIs known;
    for (const Held& held : held_to) {
        Judgement judged;
        judged.rule = held.rule;
        std::optional<LineError> error;
        const auto hold = [&](const GoalLine& by) {
            judged.figure = known.told(as_is, by.figure);
            judged.target = targets({{}, {}, {by}}, {judged.figure}, top_speed).front();
            error = error_of(judged.target, judged.figure, top_speed);
            return error && error->met();
        };
        const bool is_worst = held.worst && !hold(*held.worst) && error;
        if (!is_worst && !(held.enough && hold(*held.enough))) hold(held.line);
        if (!error) {
            diagnosis.unsolved.push_back(std::move(judged));
            continue;
        }
        judged.error = *error;
        if (!judged.error.met()) mend(judged, held, document, diagnosis.at, lifts, known);
        (judged.error.met() ? diagnosis.sound : diagnosis.faults).push_back(std::move(judged));
    }
    for (Judgement& fault : diagnosis.faults)
        if (const std::optional<Suggestion>& change = fault.mend ? fault.mend : fault.nearest)
            tell_harm(fault, change->document.value(), diagnosis.sound, diagnosis.faults, diagnosis.at,
                      lifts);
    std::stable_sort(diagnosis.faults.begin(), diagnosis.faults.end(),
                     [](const Judgement& a, const Judgement& b) {
                         return std::abs(a.error.steps) > std::abs(b.error.steps);
                     });
    return diagnosis;
}

} // namespace valve::study
