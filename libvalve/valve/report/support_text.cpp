#include <valve/damper/geometry.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/support.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <string_view>

namespace valve::report {

namespace {

using damper::AtEnd;
using damper::Chosen;
using damper::SupportPoint;
using study::SupportResult;

std::string tenths_mm(double length) {
    return fixed(length * 1e3, 1);
}
std::string whole_mm(double length) {
    return fixed(length * 1e3, 0);
}
std::string n_mm(double rate) {
    return fixed(rate * 1e-3, 1);
}
std::string ml(double volume) {
    return fixed(volume * 1e6, 0);
}

bool is_shock(const SupportResult& result) {
    const damper::Support& support = result.support();
    if (support.load) return !support.load->rake;
    const damper::Layout layout = result.reading.unit->cartridge.layout;
    return !support.leg && (layout == damper::Layout::monotube || layout == damper::Layout::twin_tube);
}

std::string_view whose(const SupportResult& result) {
    if (result.support().legs == 2) return "both legs together";
    return is_shock(result) ? "the shock" : "one leg";
}

/// Mean rate between two travels [N/m].
double mean_rate(const SupportResult& result, double from, double to) {
    return (result.law.at(to).force - result.law.at(from).force) / (to - from);
}

std::string force_sentence(const SupportResult& result) {
    const double whole = result.law.travel();
    return fmt::format(
        "{}: {} N at full extension, {} N at full travel ({} mm); {} J from one to the other, half of it in "
        "the last {} mm.",
        capital(whose(result)), newton(result.start.force), newton(result.end.force), trim_mm(whole),
        fixed(result.end.energy, 0), whole_mm(whole - result.half_energy.travel));
}

std::string rate_sentence(const SupportResult& result) {
    const double whole = result.law.travel();
    return fmt::format(
        "Rate: {} N/mm over the first tenth of the travel, {} N/mm at mid travel, {} N/mm over "
        "the last tenth.",
        n_mm(mean_rate(result, 0.0, 0.1 * whole)), n_mm(result.law.at(0.5 * whole).slope),
        n_mm(mean_rate(result, 0.9 * whole, whole)));
}

/// "77 mm (71 to 83 mm)".
std::string sag_words(const damper::Sag& sag, const SupportResult& result) {
    if (sag.rest.at_end == AtEnd::extended) return "none: the weight does not reach the preload";
    if (sag.rest.at_end == AtEnd::compressed) return "all travel: the weight is more than it carries";
    std::string text = fmt::format("{} mm ({} to {} mm)", whole_mm(sag.rest.travel),
                                   whole_mm(sag.least.travel), whole_mm(sag.most.travel));
    if (is_shock(result)) text += fmt::format(", {} mm at the wheel", whole_mm(sag.wheel_travel));
    return text;
}

std::string sag_sentence(const SupportResult& result) {
    if (!result.sag)
        return "No sag: the file names no masses (support.load with sprung, rider, rider_share, and rake or "
               "motion_ratio, or vehicle.linkage).";
    const damper::Load& load = *result.support().load;
    return fmt::format(
        "Sag with the rider ({} kg on this wheel): {}; without: {}. In brackets, where friction "
        "lets it rest. Ride frequency with the rider: {}, undamped, without the tyre.",
        fixed(mass_on_wheel(load, true), 0), sag_words(*result.sag, result),
        sag_words(*result.free_sag, result), hertz(result.frequency));
}

std::string used_words(const damper::Position& used) {
    return used.at_end == AtEnd::compressed ? "all travel" : fmt::format("{} mm", whole_mm(used.travel));
}

std::string hit_sentence(const SupportResult& result) {
    const std::string share = result.hit_is_stated
                                  ? ""
                                  : fmt::format(" ({} % of the energy to full travel, unless --hit says it)",
                                                percent(study::usual_hit));
    return fmt::format(
        "A hit of {} J{} from full extension uses {}, without friction {}; damping is left out.",
        fixed(result.hit, 0), share, used_words(result.hit_used), used_words(result.hit_unrubbed));
}

std::string friction_sentence(const SupportResult& result) {
    std::string text = fmt::format("Friction: {} N sliding, {} N before it breaks away",
                                   newton(result.law.friction()), newton(result.law.breakaway()));
    if (result.law.reservoir_friction() > 0.0)
        text += fmt::format(", {} N of either from the reservoir's piston",
                            fixed(result.law.reservoir_friction(), 1));
    return text + fmt::format("; once in and out rubs away {} J.",
                              fixed(2.0 * result.law.friction() * result.law.travel(), 0));
}

std::string reservoir_sentence(const SupportResult& result) {
    if (result.reading.unit->cartridge.layout == damper::Layout::open_cartridge)
        return "The leg's air is the reservoir; the rod feels none of it beside the leg.";
    std::string text = fmt::format("Reservoir: {} bar gauge at full extension, {} bar at full travel",
                                   gauge(result.start.p_S), gauge(result.end.p_S));
    if (result.law.reservoir_friction_pressure() > 0.0)
        text += fmt::format(", {} bar more going in and less coming out from its seal",
                            bar(result.law.reservoir_friction_pressure()));
    return text + fmt::format(". On its own a damper's rod takes {} N to start.", fixed(result.rod_start, 1));
}

std::string level_words(double depth, double column) {
    if (depth < 0.0) return "above the top";
    return depth > column ? "below the column" : fmt::format("{} mm", whole_mm(depth));
}

std::string oil_sentence(const damper::Leg& leg, const damper::Cartridge& cartridge) {
    std::string text = fmt::format("Oil: {} ml in a leg, {} ml of air above it at full extension",
                                   ml(leg.oil_volume), ml(damper::air_volume(leg)));
    if (!leg.column) return text + ".";
    const auto level = [&](damper::ForkAt fork, damper::SpringAt spring) {
        return level_words(oil_depth(leg, cartridge, {fork, spring}), leg.column->length);
    };
    using damper::ForkAt;
    using damper::SpringAt;
    return text + fmt::format("; level from the top with the cap off: compressed {} (spring out) or {} (in), "
                              "extended {} (out) or {} (in).",
                              level(ForkAt::compressed, SpringAt::out),
                              level(ForkAt::compressed, SpringAt::in), level(ForkAt::extended, SpringAt::out),
                              level(ForkAt::extended, SpringAt::in));
}

/// "sag with the rider 36.8 mm, 40.0 asked", of all that is told otherwise than it was asked; else empty.
std::string missed_words(const damper::SupportGoal& asked, const damper::SupportGoal& reached) {
    std::vector<std::string> said;
    const auto add = [&](std::string_view what, const std::string& is, const std::string& was,
                         std::string_view unit) {
        if (is != was) said.push_back(fmt::format("{} {} {}, {} asked", what, is, unit, was));
    };
    if (asked.sag) add("sag with the rider", tenths_mm(*reached.sag), tenths_mm(*asked.sag), "mm");
    if (asked.end_force)
        add("force at full travel", newton(*reached.end_force), newton(*asked.end_force), "N");
    if (asked.free_sag)
        add("sag without the rider", tenths_mm(*reached.free_sag), tenths_mm(*asked.free_sag), "mm");
    return fmt::format("{}", fmt::join(said, "; "));
}

/// "the legs", "the leg", "the shock": along which a travel is.
std::string_view the_unit(const SupportResult& result) {
    return is_shock(result) ? "the shock" : result.support().legs == 2 ? "the legs" : "the leg";
}

/// What a travel of the unit is at the wheel, of a support with a load [m].
double at_wheel(double travel, const damper::Support& support) {
    return damper::Linkage(support.load.value()).wheel_travel(travel);
}

/// "30 mm (79.8 mm at the wheel)".
std::string along_and_at_wheel(double sag, const damper::Support& support) {
    return fmt::format("{} mm ({} mm at the wheel)", trim_mm(sag), tenths_mm(at_wheel(sag, support)));
}

/// What was asked for, what is chosen in place of what the file has, and what it gives.
std::string choice_text(const SupportResult& result) {
    const study::SupportChoice& chosen = *result.chosen;
    const damper::Support& now = result.support();
    const damper::Support& then = *chosen.choice.setup.support;
    const auto line = [](const std::string& words) {
        return "  " + wrapped(words, page_columns - 2, "  ") + "\n";
    };

    std::vector<std::string> wishes;
    if (chosen.goal.sag)
        wishes.push_back(
            fmt::format("a sag of {} with the rider", along_and_at_wheel(*chosen.goal.sag, then)));
    if (chosen.goal.free_sag)
        wishes.push_back(fmt::format("{}{} without", chosen.goal.sag ? "" : "a sag of ",
                                     along_and_at_wheel(*chosen.goal.free_sag, then)));
    if (chosen.goal.end_force)
        wishes.push_back(fmt::format("{} N at full travel", newton(*chosen.goal.end_force)));
    std::string asked = "Choice for ";
    for (const std::string& wish : wishes)
        asked += (&wish == &wishes.front() ? "" : ", ") + wish;
    std::string out = wrapped(asked, page_columns, "  ") + "\n";

    Table table({{"key", "", true}, {"file", ""}, {"choice", ""}, {"can be built", ""}, {"", "", true}});
    const auto add = [&](Chosen what, const char* key, const std::string& from, const std::string& to,
                         const std::string& limits) {
        const auto holds = [&](const std::vector<Chosen>& list) {
            return std::find(list.begin(), list.end(), what) != list.end();
        };
        const bool is_chosen = holds(chosen.choice.chosen);
        table.add({key, from, to, is_chosen ? limits : "",
                   !is_chosen                      ? "kept"
                   : holds(chosen.choice.at_limit) ? "at its limit"
                                                   : ""});
    };
    const auto rate = [](double value) { return fixed(value * 1e-3, 2) + " N/mm"; };
    const auto range = [](const std::string& low, const std::string& high) { return low + " to " + high; };
    const damper::Buildable& limits = chosen.limits;
    const auto at_hand = [](const std::vector<double>& stock, double scale, std::string_view unit) {
        std::vector<std::string> values;
        for (const double value : stock)
            values.push_back(fmt::format("{:g}", value * scale));
        return fmt::format("{} {}", fmt::join(values, ", "), unit);
    };
    const study::Stock& stock = chosen.stock;
    add(Chosen::rate, "support.spring.rate", rate(now.spring->rate),
        stock.rates.empty() ? rate(then.spring->rate) : at_hand({then.spring->rate}, 1e-3, "N/mm"),
        stock.rates.empty() ? range(fixed(limits.rate.low * 1e-3, 2), rate(limits.rate.high))
                            : at_hand(stock.rates, 1e-3, "N/mm"));
    if (then.spring->second)
        add(Chosen::rate, "support.spring.second.rate", rate(now.spring->second->rate),
            rate(then.spring->second->rate), "in proportion");
    add(Chosen::preload, "support.spring.preload", tenths_mm(now.spring->preload) + " mm",
        tenths_mm(then.spring->preload) + " mm",
        range(tenths_mm(limits.preload.low), tenths_mm(limits.preload.high) + " mm"));
    if (then.leg)
        add(Chosen::oil, "support.leg.oil", ml(now.leg->oil_volume) + " ml",
            stock.fills.empty() ? ml(then.leg->oil_volume) + " ml"
                                : at_hand({then.leg->oil_volume}, 1e6, "ml"),
            stock.fills.empty() ? range(ml(limits.oil.low), ml(limits.oil.high) + " ml")
                                : at_hand(stock.fills, 1e6, "ml"));
    out += table.text();

    const damper::SupportGoal& reached = chosen.choice.reached;
    out +=
        line(fmt::format("It gives {} mm of sag with the rider, {} mm without (along {}; {} and {} mm at the "
                         "wheel), and {} N at full travel.",
                         tenths_mm(*reached.sag), tenths_mm(*reached.free_sag), the_unit(result),
                         tenths_mm(at_wheel(*reached.sag, then)),
                         tenths_mm(at_wheel(*reached.free_sag, then)), newton(*reached.end_force)));
    const std::string missed = missed_words(chosen.goal, reached);
    if (!missed.empty() && chosen.choice.at_limit.empty())
        out +=
            line(fmt::format("Nothing at hand gives just what was asked; this comes nearest: {}.", missed));
    if (!missed.empty() && !chosen.choice.at_limit.empty())
        out += line(fmt::format("What is missed: {}.", missed));
    if (!chosen.choice.at_limit.empty())
        out += line(
            "What was asked cannot be built within these limits; this is the nearest: the sag first, then "
            "the force at full travel, then the sag without the rider.");
    out += line("What can be built is assumed unless --rates, --preloads and --oils, or --springs and "
                "--fills say it. "
                "All else on this page is "
                "of the set-up as the file has it.");
    if (then.leg && then.leg->column) out += line(oil_sentence(*then.leg, result.reading.unit->cartridge));
    return out;
}

} // namespace

std::string hertz(const std::optional<double>& frequency) {
    return frequency ? fixed(*frequency, 2) + " Hz" : "none";
}

std::string summary(const damper::Support& support) {
    std::vector<std::string> parts;
    if (support.spring) {
        const damper::MainSpring& spring = *support.spring;
        std::string part =
            fmt::format("spring {:.4g} N/mm, {} mm of preload", spring.rate * 1e-3, trim_mm(spring.preload));
        if (spring.second)
            part += fmt::format(", {:.4g} N/mm from {} mm of travel", spring.second->rate * 1e-3,
                                trim_mm(spring.second->from));
        parts.push_back(part);
    }
    if (support.leg)
        parts.push_back(fmt::format("Ø {} mm with {} ml of oil in {} ml", trim_mm(support.leg->diameter),
                                    ml(support.leg->oil_volume), ml(support.leg->chamber_volume)));
    if (support.top_out) parts.push_back("a top-out spring");
    if (support.stop) parts.push_back("a stop");
    parts.push_back(fmt::format("{:.4g} N of friction", support.friction));
    return fmt::format("{}{}", support.legs == 2 ? "two legs, each: " : "", fmt::join(parts, "; "));
}

std::string headline(const SupportResult& result) {
    std::string out = fmt::format("{}\n{}\n\n", result.reading.title, result.file);
    const auto line = [&](const std::string& words) { out += wrapped(words, page_columns, "  ") + "\n"; };
    line(force_sentence(result));
    line(rate_sentence(result));
    if (result.unloaded.at_end == AtEnd::no && result.unloaded.travel > 0.0)
        line(
            fmt::format("Without load it rests {} mm short of full extension: the top-out spring outdoes the "
                        "preload.",
                        tenths_mm(result.unloaded.travel)));
    line(sag_sentence(result));
    line(hit_sentence(result));
    line(friction_sentence(result));
    line(reservoir_sentence(result));
    if (result.support().leg) line(oil_sentence(*result.support().leg, result.reading.unit->cartridge));
    return out;
}

std::string travel_table(const SupportResult& result) {
    const damper::Support& support = result.support();
    std::vector<Table::Column> columns{{"travel", "mm"}, {"force", "N"},   {"in", "N"},
                                       {"out", "N"},     {"rate", "N/mm"}, {"spring", "N"}};
    if (support.leg) columns.push_back({"leg air", "N"});
    columns.push_back({"reservoir", "N"});
    if (support.top_out) columns.push_back({"top-out", "N"});
    if (support.stop) columns.push_back({"stop", "N"});
    columns.push_back({"energy", "J"});
    if (support.leg) columns.push_back({"p air", "bar"});
    columns.push_back({"p S", "bar"});
    Table table(columns);
    const double friction = result.law.friction();
    for (const SupportPoint& point : result.points) {
        std::vector<std::string> cells{
            trim_mm(point.travel),          newton(point.force), newton(point.force + friction),
            newton(point.force - friction), n_mm(point.slope),   newton(point.spring)};
        if (support.leg) cells.push_back(newton(point.gas));
        cells.push_back(newton(point.reservoir));
        if (support.top_out) cells.push_back(newton(point.top_out));
        if (support.stop) cells.push_back(newton(point.stop));
        cells.push_back(fixed(point.energy, 1));
        if (point.p_leg) cells.push_back(gauge(*point.p_leg));
        cells.push_back(gauge(point.p_S));
        table.add(cells);
    }
    std::string out =
        fmt::format("Forces of {}; in and out: with sliding friction\n{}", whose(result), table.text());
    const auto note = [&](const std::string& words) {
        out += "  " + wrapped(words, page_columns - 2, "  ") + "\n";
    };
    const damper::SetUp& unit = *result.reading.unit;
    if (support.leg && unit.cartridge.layout != damper::Layout::open_cartridge)
        note("Leg air acts on the whole leg; reservoir is what the cartridge's pressure gives on the rod "
             "beyond "
             "the leg's air, so it may be negative.");
    std::vector<std::string> gases;
    if (support.leg) gases.push_back(fmt::format("{:g} in the leg", support.leg->exponent));
    if (unit.reservoir.kind == damper::ReservoirKind::bladder ||
        unit.reservoir.kind == damper::ReservoirKind::gas_piston)
        gases.push_back(fmt::format("{:g} in the reservoir", unit.reservoir.exponent));
    note(gases.empty() ? "Pressures are gauge, p S the reservoir's."
                       : fmt::format("Pressures are gauge, p S the reservoir's; polytropic exponent of the "
                                     "gas {}, slow or fast.",
                                     listed(gases)));
    return out;
}

std::string text(const SupportResult& result) {
    std::string out = headline(result) + "\n";
    if (result.chosen) out += choice_text(result) + "\n";
    return out + travel_table(result) + "\n" + defaults_line(result.reading.defaults);
}

} // namespace valve::report
