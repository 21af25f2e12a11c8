#include <valve/report/cycle.hpp>
#include <valve/report/cycle_parts.hpp>
#include <valve/report/family.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

using study::CycleFigures;
using study::CycleStudy;

bool any_dips_in(const study::CycleFamily& family) {
    return std::any_of(family.members.begin(), family.members.end(),
                       [](const study::CycleMember& member) { return dips(member.study); });
}

/// Which setting loses the least, or that it does not matter; empty where that is not known of any.
std::string least_words(const study::CycleFamily& family) {
    const std::optional<std::size_t> best = study::least_dead_travel(family);
    if (!best) return "";
    const std::vector<std::size_t> alike = study::alike_in_dead_travel(family);
    const auto sum = [&](std::size_t i) { return *study::dead_travel_in_all(family.members[i].study) * 1e3; };
    double most = 0.0;
    std::vector<std::string> settings;
    for (const std::size_t i : alike) {
        most = std::max(most, sum(i));
        settings.push_back(family.sweep.settings.at(i));
    }
    const std::string least = fixed(sum(*best), 2);
    const std::string range = fixed(most, 2) == least ? least : least + " to " + fixed(most, 2);
    const std::string_view over =
        family.members.front().study.cycles.size() == 1 ? "the cycle" : "all cycles";
    if (alike.size() == 1)
        return fmt::format("Least dead travel in all: {} at {}, {} mm over both reversals of {}.",
                           family.sweep.name, settings.front(), least, over);
    const bool is_all = alike.size() == family.members.size();
    return fmt::format(
        "{}: {} mm over both reversals of {}, no further apart than these figures may err.",
        is_all
            ? fmt::format("Dead travel in all does not differ between the settings of {}", family.sweep.name)
            : fmt::format("Least dead travel in all, with no difference between them: {} at {}",
                          family.sweep.name, listed(settings)),
        range, over);
}

/// Where the order would turn but for dips; else empty.
std::string turned_words(const study::CycleFamily& family) {
    const std::optional<std::size_t> other = study::least_but_for_dips(family);
    if (!other) return "";
    const auto sum = [&](std::size_t i) {
        return fixed(study::but_for_dips_in_all(family.members[i].study).value() * 1e3, 2);
    };
    const std::size_t best = study::least_dead_travel(family).value();
    return fmt::format(
        "The order hangs on a dip: but for dips {} would have the least, {} mm in all beside {} "
        "mm at {}.",
        family.sweep.settings.at(*other), sum(*other), sum(best), family.sweep.settings.at(best));
}

/// Dead travel and voids of the cycles from number `begin` to before `end`, a row a setting.
Table along_settings(const study::CycleFamily& family, const std::string& head, std::size_t begin,
                     std::size_t end) {
    const std::vector<CycleFigures>& first = family.members.front().study.cycles;
    std::vector<Table::Column> columns{{head, family.sweep.unit}};
    for (std::size_t k = begin; k < end; ++k) {
        const std::string at = first[k].frequency ? fmt::format("{:g} Hz", *first[k].frequency)
                                                  : std::string(motion::name(first[k].wave));
        columns.push_back({"in, " + at, "mm"});
        columns.push_back({"out", "mm"});
        columns.push_back({"void", "ml"});
    }
    Table table(columns);
    const bool any_dips = any_dips_in(family);
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        std::vector<std::string> cells{family.sweep.settings.at(i)};
        for (std::size_t k = begin; k < end; ++k) {
            const CycleFigures& cycle = family.members[i].study.cycles.at(k);
            const bool solved = !cycle.error;
            cells.push_back(
                solved ? dead_cell(cycle.dead_travel_compression, cycle.but_for_dips_compression, any_dips)
                       : "unsolved");
            cells.push_back(solved
                                ? dead_cell(cycle.dead_travel_rebound, cycle.but_for_dips_rebound, any_dips)
                                : "unsolved");
            cells.push_back(solved ? fixed(std::max(cycle.largest_void_C, cycle.largest_void_R) * 1e6, 2)
                                   : "unsolved");
        }
        table.add(cells);
    }
    return table;
}

/// The same of all cycles, a few in a table, as many as a page is wide.
std::string tables_along_settings(const study::CycleFamily& family) {
    constexpr std::size_t most_in_one = 3;
    constexpr std::size_t longest_head = 24; // beside so many cycles
    const std::size_t count = family.members.front().study.cycles.size();
    const bool is_long = family.sweep.name.size() > longest_head;
    std::string out =
        is_long ? wrapped("Settings of " + family.sweep.name + ":", page_columns, "") + "\n" : "";
    for (std::size_t begin = 0; begin < count; begin += most_in_one)
        out += along_settings(family, is_long ? "setting" : family.sweep.name, begin,
                              std::min(count, begin + most_in_one))
                   .text() +
               "\n";
    return out;
}

} // namespace

std::string text(const study::CycleFamily& family) {
    const CycleStudy& first = family.members.front().study;
    std::string out = wrapped(what_was_run(first), page_columns, "") + "\n" +
                      wrapped(how_valves_move(first), page_columns, "") + "\n\n" +
                      tables_along_settings(family);
    if (const std::string least = least_words(family); !least.empty())
        out += wrapped(least, page_columns, "") + "\n";
    if (const std::string turned = turned_words(family); !turned.empty())
        out += wrapped(turned, page_columns, "") + "\n";
    out += wrapped("in, out: dead travel, from the reversal into compression or rebound until the damping "
                   "force has come up to 90 % of its steady value at that speed and travel; -: not before "
                   "the peak speed. void: the larger of the largest in C and in R.",
                   page_columns, "") +
           "\n";
    if (any_dips_in(family)) out += wrapped(meaning_of_star(), page_columns, "") + "\n";
    for (std::size_t i = 0; i < family.members.size(); ++i)
        for (const CycleFigures& cycle : family.members[i].study.cycles)
            for (const std::string& caution : cautions(cycle))
                out +=
                    wrapped(fmt::format("{} {}: {}", family.sweep.name, family.sweep.settings.at(i), caution),
                            page_columns, "") +
                    "\n";
    return out;
}

Json json(const study::CycleFamily& family) {
    Json object;
    object["sweep"] = family.sweep.name;
    object["key"] = family.sweep.key.empty() ? Json(nullptr) : Json(family.sweep.key);
    const std::optional<std::size_t> best = study::least_dead_travel(family);
    object["least_dead_travel"] = best ? Json(family.sweep.settings.at(*best)) : Json(nullptr);
    const std::optional<std::size_t> other = study::least_but_for_dips(family);
    object["least_but_for_dips"] = other ? Json(family.sweep.settings.at(*other)) : Json(nullptr);
    object["alike_in_dead_travel"] = Json::array();
    for (const std::size_t i : study::alike_in_dead_travel(family))
        object["alike_in_dead_travel"].push_back(family.sweep.settings.at(i));
    object["settings"] = Json::array();
    for (std::size_t i = 0; i < family.members.size(); ++i) {
        Json member;
        member["setting"] = family.sweep.settings.at(i);
        member["valves"] = motion::name(family.members[i].study.valves.kind);
        member["cycles"] = Json::array();
        for (const CycleFigures& cycle : family.members[i].study.cycles)
            member["cycles"].push_back(json(cycle));
        object["settings"].push_back(std::move(member));
    }
    object["left_out"] = json(family.left_out);
    return object;
}

Json rows(const study::CycleFamily& family) {
    Json list = Json::array();
    for (std::size_t i = 0; i < family.members.size(); ++i)
        for (const CycleFigures& cycle : family.members[i].study.cycles) {
            const Json all = json(cycle);
            Json row;
            row["setting"] = family.sweep.settings.at(i);
            for (const auto& [key, value] : all.items())
                if (!value.is_array() && !value.is_object()) row[key] = value;
            list.push_back(std::move(row));
        }
    return list;
}

} // namespace valve::report
