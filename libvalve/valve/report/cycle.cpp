#include <valve/core/number.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/cycle.hpp>
#include <valve/report/cycle_parts.hpp>
#include <valve/report/series.hpp>
#include <valve/report/text.hpp>
#include <valve/study/dead_travel.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

using study::CycleFigures;
using study::CycleStudy;
using study::ValveInCycle;

std::string or_dash(const std::optional<double>& value, double scale, int decimals) {
    return value ? fixed(*value * scale, decimals) : "-";
}

std::string named(const CycleFigures& cycle) {
    return cycle.frequency ? fmt::format("{:.4g}", *cycle.frequency) : std::string(motion::name(cycle.wave));
}

std::string_view name_of(damper::Stroke stroke) {
    return stroke == damper::Stroke::compression ? "compression" : "rebound";
}

const ValveInCycle* valve_at(const CycleFigures& cycle, damper::Place place) {
    const auto found = std::find_if(cycle.valves.begin(), cycle.valves.end(),
                                    [&](const ValveInCycle& valve) { return valve.place == place; });
    return found == cycle.valves.end() ? nullptr : &*found;
}

/// The leading table: speed, dead travel and what a tuner asks first, a row a motion.
Table leading(const CycleStudy& study) {
    Table table({{"", "Hz"},
                 {"speed", "m/s"},
                 {"dead in", "mm"},
                 {"dead out", "mm"},
                 {"check shut", "ms"},
                 {"ran back", "mm³"},
                 {"void C", "ml"},
                 {"for", "ms"},
                 {"void R", "ml"},
                 {"for", "ms"}});
    const bool any_dips = dips(study);
    for (const CycleFigures& cycle : study.cycles) {
        if (cycle.error) {
            table.add({named(cycle), fixed(cycle.peak_speed, cycle.peak_speed < 0.1 ? 4 : 2), "unsolved", "-",
                       "-", "-", "-", "-", "-", "-"});
            continue;
        }
        const ValveInCycle* check = valve_at(cycle, damper::Place::base_refill);
        const bool moves = study.valves.kind == motion::Valves::moving;
        table.add({named(cycle), fixed(cycle.peak_speed, cycle.peak_speed < 0.1 ? 4 : 2),
                   dead_cell(cycle.dead_travel_compression, cycle.but_for_dips_compression, any_dips),
                   dead_cell(cycle.dead_travel_rebound, cycle.but_for_dips_rebound, any_dips),
                   check && moves ? or_dash(check->shut_after, 1e3, 2) : "-",
                   check && moves ? or_dash(check->run_back, 1e9, 1) : "-",
                   fixed(cycle.largest_void_C * 1e6, 3), fixed(cycle.void_time_C * 1e3, 1),
                   fixed(cycle.largest_void_R * 1e6, 3), fixed(cycle.void_time_R * 1e3, 1)});
    }
    return table;
}

Table forces(const CycleStudy& study) {
    Table table({{"", "Hz"},
                 {"peak in", "N"},
                 {"steady", "N"},
                 {"peak out", "N"},
                 {"steady", "N"},
                 {"lowest C", "bar"},
                 {"lowest R", "bar"},
                 {"heating", "W"},
                 {"oil", "K/min"}});
    for (const CycleFigures& cycle : study.cycles) {
        if (cycle.error) continue;
        table.add({named(cycle), newton(cycle.peak_force_compression),
                   or_dash(cycle.steady_force_compression, 1.0, 0), newton(cycle.peak_force_rebound),
                   or_dash(cycle.steady_force_rebound, 1.0, 0), gauge(cycle.lowest_p_C),
                   gauge(cycle.lowest_p_R), fixed(cycle.heating, 1), fixed(cycle.temperature_rise, 2)});
    }
    return table;
}

/// Where the energy of a loop goes, a cycle a column.
Table energies(const CycleStudy& study) {
    std::vector<const CycleFigures*> cycles;
    for (const CycleFigures& cycle : study.cycles)
        if (!cycle.error) cycles.push_back(&cycle);
    std::vector<Table::Column> columns{{"lost [J]", "", true}};
    for (const CycleFigures* cycle : cycles)
        columns.push_back({cycle->frequency ? named(*cycle) + " Hz" : named(*cycle), ""});
    Table table(columns);
    const auto row = [&](const std::string& name, const auto& energy) {
        std::vector<std::string> cells{name};
        for (const CycleFigures* cycle : cycles)
            cells.push_back(fixed(energy(*cycle), 3));
        table.add(cells);
    };
    for (std::size_t i = 0; i < cycles.front()->valves.size(); ++i)
        row(std::string(damper::name(cycles.front()->valves[i].place)),
            [i](const CycleFigures& cycle) { return cycle.valves[i].energy; });
    row("base bleeds", [](const CycleFigures& cycle) { return cycle.base_bleeds; });
    row("piston bleeds", [](const CycleFigures& cycle) { return cycle.piston_bleeds; });
    row("friction", [](const CycleFigures& cycle) { return cycle.friction; });
    if (cycles.front()->cups != 0.0) row("cups", [](const CycleFigures& cycle) { return cycle.cups; });
    row("in all", [](const CycleFigures& cycle) { return cycle.lost; });
    return table;
}

/// "At 4 Hz".
std::string head_of(const CycleFigures& cycle) {
    return cycle.frequency ? fmt::format("At {:.4g} Hz", *cycle.frequency)
                           : fmt::format("In the {}", motion::name(cycle.wave));
}

/// Dead travel but for dips, where it hangs on them.
std::vector<std::string> dip_sentences(const CycleFigures& cycle) {
    std::vector<std::string> list;
    const auto add = [&](std::string_view way, const std::optional<double>& for_good,
                         const std::optional<double>& but_for_dips) {
        if (for_good && but_for_dips)
            list.push_back(
                fmt::format("{} the dead travel {} is {} mm, and but for a dip of the force {} mm.",
                            head_of(cycle), way, fixed(*for_good * 1e3, 2), fixed(*but_for_dips * 1e3, 2)));
    };
    add("in", cycle.dead_travel_compression, cycle.but_for_dips_compression);
    add("out", cycle.dead_travel_rebound, cycle.but_for_dips_rebound);
    return list;
}

std::string own_swings(const CycleStudy& study) {
    if (study.swings.empty()) return "";
    std::vector<std::string> each;
    for (const study::SwingOnset& onset : study.swings)
        each.push_back(fmt::format("{} from {} m/s in {} ({:.1f} kHz)", damper::name(onset.valve),
                                   fixed(onset.speed, 2), name_of(onset.stroke), onset.frequency * 1e-3));
    return fmt::format(
        "But for friction between shims valves swing by themselves even at constant rod speed: {}. By the "
        "equations of motion, linearised at mid stroke. Friction holds small swings of a stack, not those "
        "that a blow has started, and a disc or a single shim has none; how far valves swing, the cycles "
        "tell.",
        fmt::join(each, ", "));
}

std::string meanings(const CycleStudy& study) {
    double energy = 0.0;
    double mass = 0.0;
    for (const CycleFigures& cycle : study.cycles) {
        if (cycle.error) continue;
        energy = std::max(energy, cycle.cycle.balance.energy);
        mass = std::max(mass, cycle.cycle.balance.mass);
    }
    const bool has_check =
        std::any_of(study.cycles.begin(), study.cycles.end(), [](const CycleFigures& cycle) {
            return valve_at(cycle, damper::Place::base_refill) != nullptr;
        });
    constexpr study::CycleErrors errors;
    return fmt::format(
        "Dead travel: from the reversal until the damping force has come up to 90 % of its steady value at "
        "that speed and travel, at constant speed for the first time, else for good until the peak speed. "
        "in: compression; out: rebound; -: not reached. {}Steady: the force at constant speed, at the peak. "
        "Pressures are over the atmosphere's. Oil: its temperature if no heat leaves it, {:.0f} J/(kg K), "
        "that of C and R alone. Oil balances to {:.0e}, energy to {:.0e}; by runs of demos with a tenth of "
        "the "
        "errors, forces hold within {:.2g} %, dead travel within {:.2g} mm, times within {:.2g} ms and voids "
        "within {:.2g} ml, less well where a valve rings about the 90 % or bounces on its seat.",
        has_check ? "Check shut: base.refill, from the reversal into compression; negative: before it; -: "
                    "never, and what ran back has no end. "
                  : "",
        study::oil_heat_capacity, std::max(mass, 1e-16), std::max(energy, 1e-16), errors.force * 100.0,
        errors.dead_travel * 1e3, errors.time * 1e3, errors.void_volume * 1e6);
}

Json valve_json(const ValveInCycle& valve) {
    Json object;
    object["valve"] = damper::name(valve.place);
    object["largest_lift_m"] = valve.largest_lift;
    object["shut_after_s"] = or_null(valve.shut_after);
    object["run_back_m3"] = or_null(valve.run_back);
    object["run_back_curtain_m3"] = or_null(valve.run_back_curtain);
    object["energy_J"] = valve.energy;
    object["swings"] = valve.swings;
    return object;
}

Json series(const CycleFigures& cycle) {
    Json object;
    const auto column = [&](const char* key, const auto& value) {
        Json list = Json::array();
        for (const motion::Moment& moment : cycle.cycle.series)
            list.push_back(value(moment));
        object[key] = std::move(list);
    };
    const double begin = cycle.cycle.series.front().time;
    column("time_s", [&](const motion::Moment& moment) { return moment.time - begin; });
    column("travel_m", [](const motion::Moment& moment) { return moment.travel; });
    column("speed_m_s", [](const motion::Moment& moment) { return moment.speed; });
    column("force_N", [](const motion::Moment& moment) { return moment.force; });
    column("p_C_Pa", [](const motion::Moment& moment) { return moment.p_C; });
    column("p_R_Pa", [](const motion::Moment& moment) { return moment.p_R; });
    column("p_S_Pa", [](const motion::Moment& moment) { return moment.p_S; });
    column("void_C_m3", [](const motion::Moment& moment) { return moment.void_C; });
    column("void_R_m3", [](const motion::Moment& moment) { return moment.void_R; });
    std::vector<damper::Place> places;
    for (const ValveInCycle& valve : cycle.valves)
        places.push_back(valve.place);
    object["lift_m"] = lifts_of(
        places, cycle.cycle.series, [](const motion::Moment& moment) -> const auto& { return moment; });
    return object;
}

Json json_with_series(const CycleFigures& cycle) {
    Json object = json(cycle);
    object["series"] = cycle.error ? Json(nullptr) : series(cycle);
    return object;
}

} // namespace

std::string what_was_run(const CycleStudy& study) {
    if (study.cycles.empty()) return "";
    const CycleFigures& first = study.cycles.front();
    return fmt::format("{}, stroke {} mm about {} mm of travel, {}.", motion::name(first.wave),
                       trim_mm(first.stroke), trim_mm(first.middle), words(study.theory, study.valves.bends));
}

std::string how_valves_move(const CycleStudy& study) {
    std::string text = "Valves move: mass, the film under the land, the oil that they sweep and, by "
                       "ports.length, that in their ports count.";
    if (study.valves.kind != motion::Valves::moving) {
        text = "Valves are quasi-static: each follows the pressure on it at once, without mass and without "
               "the oil that it sweeps, so that when a check shuts and what runs back are not told.";
        if (!study.valves.because.empty()) text += " The reason: " + study.valves.because + ".";
    }
    if (const std::string left = left_round_words(study.valves.left_round); !left.empty()) text += " " + left;
    return text;
}

std::string dead_cell(const std::optional<double>& for_good, const std::optional<double>& but_for_dips,
                      bool any_dips) {
    return or_dash(for_good, 1e3, 2) + (but_for_dips ? "*" : any_dips ? " " : "");
}

bool dips(const CycleStudy& study) {
    return std::any_of(study.cycles.begin(), study.cycles.end(), [](const CycleFigures& cycle) {
        return cycle.but_for_dips_compression || cycle.but_for_dips_rebound;
    });
}

std::string meaning_of_star() {
    return fmt::format(
        "*: the force was back before, and dips below 90 % once more, though not below {:.0f} %. A "
        "dip a little smaller leaves far less dead travel, so that such figures jump between "
        "neighbouring settings.",
        study::shallow_dip * 100.0);
}

std::vector<std::string> cautions(const CycleFigures& cycle) {
    std::vector<std::string> list;
    const std::string head = head_of(cycle);
    if (cycle.error) {
        list.push_back(fmt::format("{} there is no result: {}.", head, *cycle.error));
        return list;
    }
    if (cycle.frequency && !cycle.cycle.periodic)
        list.push_back(fmt::format("{} the cycle still changes after {} of them; the last one is shown.",
                                   head, cycle.cycle.loops));
    if (cycle.beyond_curve)
        list.push_back(
            head +
            " a valve is lifted beyond the end of its lift curve; there it goes on along the last slope.");
    if (cycle.reservoir_full)
        list.push_back(head + " the reservoir is full for a moment: its piston meets the end of its room.");
    const bool jumps = cycle.wave == motion::Wave::triangle || cycle.wave == motion::Wave::ramp;
    if (jumps && cycle.is_far_above_steady())
        list.push_back(head +
                       " the rod's speed jumps where it turns round: the largest forces are of that blow, "
                       "not of the speed it then has.");
    if (cycle.swings_tell()) {
        std::vector<std::string> ringing;
        for (const ValveInCycle& valve : cycle.valves)
            if (valve.swings >= study::ringing_swings)
                ringing.push_back(fmt::format("{} {} times", damper::name(valve.place), valve.swings));
        list.push_back(head + " " + swinging_words(ringing, " Dead travel means little then.", "cycle"));
    }
    constexpr double most_open = 1e-6;
    for (const std::string& open : open_balances(cycle.cycle.balance, most_open))
        list.push_back(head + " " + open);
    return list;
}

/// From which speeds on valves swing by themselves; empty: from none.
Json json(const CycleFigures& cycle) {
    Json object;
    object["wave"] = motion::name(cycle.wave);
    object["frequency_Hz"] = or_null(cycle.frequency);
    object["stroke_m"] = cycle.stroke;
    object["middle_m"] = cycle.middle;
    object["peak_speed_m_s"] = cycle.peak_speed;
    object["error"] = or_null(cycle.error);
    const bool solved = !cycle.error.has_value();
    const auto number = [&](double value) { return solved ? Json(value) : Json(nullptr); };
    object["peak_force_compression_N"] = number(cycle.peak_force_compression);
    object["peak_force_rebound_N"] = number(cycle.peak_force_rebound);
    object["steady_force_compression_N"] = or_null(cycle.steady_force_compression);
    object["steady_force_rebound_N"] = or_null(cycle.steady_force_rebound);
    object["energy_J"] = number(cycle.energy);
    object["dead_travel_compression_m"] = or_null(cycle.dead_travel_compression);
    object["dead_travel_rebound_m"] = or_null(cycle.dead_travel_rebound);
    object["but_for_dips_compression_m"] = or_null(cycle.but_for_dips_compression);
    object["but_for_dips_rebound_m"] = or_null(cycle.but_for_dips_rebound);
    object["lowest_p_C_Pa"] = number(cycle.lowest_p_C);
    object["lowest_p_R_Pa"] = number(cycle.lowest_p_R);
    object["highest_p_C_Pa"] = number(cycle.highest_p_C);
    object["highest_p_R_Pa"] = number(cycle.highest_p_R);
    object["largest_void_C_m3"] = number(cycle.largest_void_C);
    object["largest_void_R_m3"] = number(cycle.largest_void_R);
    object["void_time_C_s"] = number(cycle.void_time_C);
    object["void_time_R_s"] = number(cycle.void_time_R);
    object["valves"] = Json::array();
    for (const ValveInCycle& valve : cycle.valves)
        object["valves"].push_back(valve_json(valve));
    object["energy_by_part_J"] = {{"base_bleeds", number(cycle.base_bleeds)},
                                  {"piston_bleeds", number(cycle.piston_bleeds)},
                                  {"reservoir_friction", number(cycle.friction)},
                                  {"cups", number(cycle.cups)}};
    object["lost_J"] = number(cycle.lost);
    object["heating_W"] = number(cycle.heating);
    object["temperature_rise_K_min"] = number(cycle.temperature_rise);
    object["balance"] = {{"mass", number(cycle.cycle.balance.mass)},
                         {"energy", number(cycle.cycle.balance.energy)}};
    object["periodic"] = cycle.cycle.periodic;
    object["cycles_run"] = cycle.cycle.loops;
    object["beyond_curve"] = cycle.beyond_curve;
    object["reservoir_full"] = cycle.reservoir_full;
    return object;
}

std::string text(const CycleStudy& study) {
    std::string out;
    for (const std::string& paragraph : {what_was_run(study), how_valves_move(study)})
        if (!paragraph.empty()) out += wrapped(paragraph, page_columns, "") + "\n";
    const auto tell_cautions = [&](bool of_failed) {
        for (const CycleFigures& cycle : study.cycles)
            if (cycle.error.has_value() == of_failed)
                for (const std::string& caution : cautions(cycle))
                    out += wrapped(caution, page_columns, "") + "\n";
    };
    tell_cautions(true);
    if (std::any_of(study.cycles.begin(), study.cycles.end(),
                    [](const CycleFigures& cycle) { return !cycle.error; }))
        out += "\n" + leading(study).text() + "\n" + forces(study).text() + "\n" + energies(study).text() +
               "\n" + wrapped(meanings(study), page_columns, "") + "\n";
    tell_cautions(false);
    for (const CycleFigures& cycle : study.cycles)
        for (const std::string& dip : dip_sentences(cycle))
            out += wrapped(dip, page_columns, "") + "\n";
    if (dips(study)) out += wrapped(meaning_of_star(), page_columns, "") + "\n";
    if (const std::string swings = own_swings(study); !swings.empty())
        out += wrapped(swings, page_columns, "") + "\n";
    return out;
}

Json json(const CycleStudy& study) {
    Json object;
    object["theory"] = stack::name(study.theory);
    object["shape"] = shape_name(study.valves.bends);
    object["valves"] = motion::name(study.valves.kind);
    object["valves_because"] = study.valves.because.empty() ? Json(nullptr) : Json(study.valves.because);
    object["left_round"] = json(study.valves.left_round);
    object["swings_from"] = Json::array();
    for (const study::SwingOnset& onset : study.swings)
        object["swings_from"].push_back({{"valve", damper::name(onset.valve)},
                                         {"stroke", name_of(onset.stroke)},
                                         {"speed_m_s", onset.speed},
                                         {"frequency_Hz", onset.frequency}});
    object["rod_into"] = study.rod_into == damper::RodInto::leg ? "leg" : "atmosphere";
    object["cycles"] = Json::array();
    for (const CycleFigures& cycle : study.cycles)
        object["cycles"].push_back(json_with_series(cycle));
    return object;
}

Json cycles_to_draw(const CycleStudy& study) {
    constexpr double hPa_per_Pa = 1e-2; // whole numbers are short
    constexpr double mm3_per_m3 = 1e9;
    constexpr double um_per_m = 1e6;
    const auto every_other = [](const CycleFigures& cycle, const auto& write) {
        Json list = Json::array();
        for (std::size_t i = 0; i < cycle.cycle.series.size(); i += 2)
            list.push_back(write(cycle.cycle.series[i]));
        return list;
    };
    const auto column = [&](const CycleFigures& cycle, double motion::Moment::*member) {
        return every_other(cycle, [&](const motion::Moment& moment) {
            return parse_number(fmt::format("{:.5g}", moment.*member));
        });
    };
    const auto whole = [&](const CycleFigures& cycle, double motion::Moment::*member, double times) {
        return every_other(cycle,
                           [&](const motion::Moment& moment) { return std::lround(moment.*member * times); });
    };
    const auto lifts = [&](const CycleFigures& cycle) {
        Json object = Json::object();
        for (const ValveInCycle& valve : cycle.valves)
            object[std::string(damper::name(valve.place))] =
                every_other(cycle, [&](const motion::Moment& moment) {
                    const motion::ValveMoment& of = moment.valves[static_cast<std::size_t>(valve.place)];
                    return std::lround(std::max(0.0, of.lift) * um_per_m);
                });
        return object;
    };
    Json object;
    object["valves"] = motion::name(study.valves.kind);
    object["cycles"] = Json::array();
    for (const CycleFigures& cycle : study.cycles) {
        Json one;
        one["frequency_Hz"] = or_null(cycle.frequency);
        one["stroke_m"] = cycle.stroke;
        one["dead_travel_compression_m"] = or_null(cycle.dead_travel_compression);
        one["dead_travel_rebound_m"] = or_null(cycle.dead_travel_rebound);
        one["series"] = cycle.error ? Json(nullptr)
                                    : Json{{"travel_m", column(cycle, &motion::Moment::travel)},
                                           {"force_N", column(cycle, &motion::Moment::force)},
                                           {"p_C_hPa", whole(cycle, &motion::Moment::p_C, hPa_per_Pa)},
                                           {"p_R_hPa", whole(cycle, &motion::Moment::p_R, hPa_per_Pa)},
                                           {"void_C_mm3", whole(cycle, &motion::Moment::void_C, mm3_per_m3)},
                                           {"void_R_mm3", whole(cycle, &motion::Moment::void_R, mm3_per_m3)},
                                           {"lift_um", lifts(cycle)}};
        object["cycles"].push_back(std::move(one));
    }
    return object;
}

std::string series_csv(const CycleStudy& study) {
    Json rows = Json::array();
    for (const CycleFigures& cycle : study.cycles) {
        if (cycle.error) continue;
        const Json columns = series(cycle);
        for (std::size_t i = 0; i < cycle.cycle.series.size(); ++i) {
            Json row;
            row["frequency_Hz"] = or_null(cycle.frequency);
            add_moment(row, columns, i);
            rows.push_back(std::move(row));
        }
    }
    return csv(rows);
}

} // namespace valve::report
