#include <valve/core/units.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/search.hpp>
#include <valve/report/text.hpp>
#include <valve/setup/shims.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

namespace valve::report {

namespace {

using study::LineError;
using study::SearchAnswer;
using study::SearchPart;
using study::SearchQuestion;
using study::SearchResult;
using study::Target;

/// Share of the family that is better than the best found, at most, with 95 % confidence: of n drawn at
/// random, each as likely as any other, none was better. The rule of three (hanley_lippman_hand_1983).
std::optional<double> share_better(const SearchPart& part) {
    if (part.exhaustive || part.sampled < 30) return std::nullopt;
    return 3.0 / static_cast<double>(part.sampled);
}

std::string value(const Target& target, double value) {
    const study::FigureRequest& figure = target.line.figure;
    return value_cell({figure.quantity, figure.speed, value, "", figure.travel_share, figure.frequency});
}

std::string with_unit(const Target& target, double number) {
    return fmt::format("{} {}", value(target, number), unit(target.line.figure.quantity));
}

std::string wanted(const Target& target) {
    const bool open_below = !std::isfinite(target.low);
    const bool open_above = !std::isfinite(target.high);
    if (open_below && open_above) return "anything";
    if (open_below) return "at most " + with_unit(target, target.high);
    if (open_above) return "at least " + with_unit(target, target.low);
    return fmt::format("{} to {}", value(target, target.low), with_unit(target, target.high));
}

Json lines_json(const std::vector<std::optional<LineError>>& lines) {
    Json array = Json::array();
    for (const std::optional<LineError>& line : lines) {
        Json entry;
        entry["value"] = line ? Json(line->value) : Json(nullptr);
        entry["distance"] = line ? Json(line->distance) : Json(nullptr);
        entry["steps"] = line ? Json(line->steps) : Json(nullptr);
        entry["reached"] = line ? or_null(line->reached) : Json(nullptr);
        entry["met"] = line && line->met();
        array.push_back(entry);
    }
    return array;
}

/// "[2 * 24 x 0.15, 18 x 0.15]", broken between shims.
std::string stack_words(const std::string& before, const std::vector<std::string>& shims,
                        const std::string& after) {
    std::string text;
    std::string line = "     " + before + "[";
    for (std::size_t i = 0; i < shims.size(); ++i) {
        const std::string item = shims[i] + (i + 1 < shims.size() ? "," : "]" + after);
        const bool begins = line.back() == '[';
        if (!begins && width(line) + 1 + width(item) > page_columns) {
            text += line + "\n";
            line = "       " + item;
        } else {
            line += (begins ? "" : " ") + item;
        }
    }
    return text + line + "\n";
}

/// Whether the fittings of `valve` differ in `what`.
template <class What>
bool may_change(const study::SearchValve& valve, What what) {
    return std::any_of(valve.fittings.begin(), valve.fittings.end(),
                       [what](const study::SearchFitting& one) { return (one.*what).has_value(); });
}

/// The fitting of `answer` for valve `v`, with what there is today in place of what stays.
study::SearchFitting fitting_of(const SearchQuestion& question, std::size_t v, const SearchAnswer& answer) {
    const study::SearchValve& valve = question.valves()[v];
    study::SearchFitting fitting = valve.fittings[answer.candidate.fittings[v]];
    const auto& floating = question.unit().valves[valve.place]->stack.floating;
    if (!fitting.sleeve) fitting.sleeve = valve.sleeve;
    if (!fitting.coil && may_change(valve, &study::SearchFitting::coil)) fitting.coil = floating->spring_rate;
    if (!fitting.turns && may_change(valve, &study::SearchFitting::turns))
        fitting.turns = floating->adjuster->turns;
    return fitting;
}

/// "sleeve 1.4 mm", "coil 20 N/mm", "2.5 turns out", of what may change.
std::vector<std::string> fitting_words(const SearchQuestion& question, std::size_t v,
                                       const SearchAnswer& answer) {
    const study::SearchValve& valve = question.valves()[v];
    const study::SearchFitting fitting = fitting_of(question, v, answer);
    std::vector<std::string> list;
    if (may_change(valve, &study::SearchFitting::sleeve))
        list.push_back(fmt::format("sleeve {} mm", trim_mm(*fitting.sleeve)));
    if (fitting.coil) list.push_back("coil " + format_quantity(*fitting.coil, "N/mm"));
    if (fitting.turns) list.push_back(fmt::format("{:g} turns out", *fitting.turns));
    return list;
}

std::string built(const SearchQuestion& question, const SearchAnswer& answer) {
    std::string text;
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const study::SearchValve& valve = question.valves()[v];
        const std::string name(damper::name(valve.place));
        const std::vector<std::string> fitted = fitting_words(question, v, answer);
        if (valve.family)
            text += stack_words(name + ": ", question.written(v, answer.candidate.piles[v]),
                                fitted.empty() ? "" : fmt::format(", {}", fmt::join(fitted, ", ")));
        else
            text += fmt::format("     {}: {}\n", name, fmt::join(fitted, ", "));
    }
    std::vector<std::string> set;
    for (std::size_t i = 0; i < question.needles().size(); ++i)
        set.push_back(fmt::format("{} {:g} clicks", question.needles()[i].name, answer.setting.clicks[i]));
    if (answer.setting.spring) set.push_back("spring " + format_quantity(*answer.setting.spring, "N/mm"));
    if (answer.setting.preload)
        set.push_back("preload of the spring " + format_quantity(*answer.setting.preload, "mm"));
    if (!set.empty()) text += "     " + listed(set) + "\n";
    return text;
}

/// "2 * 24 x 0.15, 14 x 0.20", of as many of each size.
std::string shims_words(const SearchQuestion& question, const study::Counts& counts) {
    std::vector<std::string> list;
    for (std::size_t size = 0; size < counts.size(); ++size) {
        if (counts[size] <= 0) continue;
        const setup::ShimSize& shim = question.sizes()[size];
        const std::string one = setup::shim_text(2.0 * shim.outer_radius, shim.thickness);
        list.push_back(counts[size] == 1 ? one : fmt::format("{} * {}", counts[size], one));
    }
    return fmt::format("{}", fmt::join(list, ", "));
}

/// Which shims come out of the stacks and which go in: "out: 24 x 0.15; in: 2 * 20 x 0.1".
std::string exchanged(const SearchQuestion& question, const SearchAnswer& answer) {
    std::string text;
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const study::SearchValve& valve = question.valves()[v];
        const study::Pile& pile = answer.candidate.piles[v];
        if (pile == valve.present) continue;
        study::Counts out = study::counts_of(valve.present, question.sizes().size());
        study::Counts in = study::counts_of(pile, question.sizes().size());
        for (std::size_t size = 0; size < out.size(); ++size) {
            const int both = std::min(out[size], in[size]);
            out[size] -= both;
            in[size] -= both;
        }
        std::vector<std::string> list;
        if (const std::string words = shims_words(question, out); !words.empty())
            list.push_back("out: " + words);
        if (const std::string words = shims_words(question, in); !words.empty())
            list.push_back("in: " + words);
        if (list.empty()) list.emplace_back("the same shims in another order");
        const std::string before =
            question.valves().size() > 1 ? fmt::format("{} ", damper::name(valve.place)) : "";
        text += "     " +
                wrapped(fmt::format("{}{}", before, fmt::join(list, "; ")), page_columns - 5, "       ") +
                "\n";
    }
    return text;
}

/// Without its breaks: "base.compression: [24 x 0.15, 18 x 0.15]; base.compression 4 clicks".
std::string on_one_line(const std::string& lines) {
    std::string text;
    for (std::size_t begin = 0; begin < lines.size();) {
        const std::size_t end = std::min(lines.find('\n', begin), lines.size());
        const std::size_t first = std::min(lines.find_first_not_of(' ', begin), end);
        const bool goes_on = first - begin > 5; // of the line before
        text += (text.empty() ? "" : goes_on ? " " : "; ") + lines.substr(first, end - first);
        begin = end + 1;
    }
    return text;
}

/// Names of the valves that are taken apart for `answer`.
std::vector<std::string> opened(const SearchQuestion& question, const SearchAnswer& answer) {
    std::vector<std::string> names;
    for (std::size_t v = 0; v < question.valves().size(); ++v)
        if ((answer.opened >> v & 1U) != 0) names.emplace_back(damper::name(question.valves()[v].place));
    return names;
}

Json answer_json(const SearchQuestion& question, const SearchAnswer& answer) {
    Json entry;
    Json valves = Json::object();
    Json sleeves = Json::object();
    Json coils = Json::object();
    Json turns = Json::object();
    Json clicks = Json::object();
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const study::SearchValve& valve = question.valves()[v];
        const std::string name(damper::name(valve.place));
        if (valve.family) valves[name] = Json(question.written(v, answer.candidate.piles[v]));
        const study::SearchFitting fitting = fitting_of(question, v, answer);
        if (fitting.sleeve) sleeves[name] = *fitting.sleeve;
        if (fitting.coil) coils[name] = *fitting.coil;
        if (fitting.turns) turns[name] = *fitting.turns;
    }
    for (std::size_t i = 0; i < question.needles().size(); ++i)
        clicks[question.needles()[i].name] = answer.setting.clicks[i];
    entry["valves"] = valves;
    entry["sleeves_m"] = sleeves;
    entry["coil_rates_N_m"] = coils;
    entry["turns"] = turns;
    entry["clicks"] = clicks;
    entry["spring_rate_N_m"] = or_null(answer.setting.spring);
    entry["spring_preload_m"] = or_null(answer.setting.preload);
    add_fields(entry, search_answer_fields(), answer);
    entry["reached"] = lines_json(answer.lines);
    entry["changed_valves"] = opened(question, answer);
    entry["words"] = on_one_line(built(question, answer));
    return entry;
}

Json coverage_json(const SearchQuestion& question, const SearchResult& result) {
    const SearchPart& part = result.screening;
    Json coverage;
    coverage["candidates"] = part.candidates;
    coverage["screened"] = part.screened;
    coverage["solved"] = result.solved;
    coverage["exhaustive"] = part.exhaustive && !result.is_interrupted;
    coverage["bound"] = or_null(result.bound);
    coverage["screen_error"] = result.screen_error;
    coverage["method"] = part.exhaustive ? "all" : "best first";
    coverage["seed"] = part.exhaustive ? Json(nullptr) : Json(question.options().seed);
    coverage["sampled"] = part.sampled;
    coverage["share_better_at_most"] = or_null(share_better(part));
    coverage["interrupted"] = result.is_interrupted;
    return coverage;
}

std::string many(double count) {
    return count < 1e6 ? fmt::format("{:.0f}", count) : fmt::format("{:.2g}", count);
}

/// What one valve may be given.
std::string family_words(const SearchQuestion& question, const study::SearchValve& valve) {
    std::vector<std::string> list;
    if (valve.family)
        list.push_back(fmt::format("at most {} mm high", trim_mm(valve.family->limits().height)));
    const auto choices = [&](auto what) {
        std::vector<double> seen;
        for (const study::SearchFitting& one : valve.fittings)
            if (one.*what && std::find(seen.begin(), seen.end(), *(one.*what)) == seen.end())
                seen.push_back(*(one.*what));
        return seen.size() + 1;
    };
    if (may_change(valve, &study::SearchFitting::sleeve))
        list.push_back(fmt::format("{} sleeves", choices(&study::SearchFitting::sleeve)));
    if (may_change(valve, &study::SearchFitting::coil))
        list.push_back(
            fmt::format("{} coils, as long as the one there is", choices(&study::SearchFitting::coil)));
    if (may_change(valve, &study::SearchFitting::turns))
        list.push_back(fmt::format("{} settings of its coil", choices(&study::SearchFitting::turns)));
    if (question.unit().valves[valve.place]->stack.floating && valve.family)
        list.emplace_back(valve.sleeve ? "shims on the sleeve take float away"
                                       : "the float stays, whatever lies on its sleeve");
    return fmt::format("{}: {}.", damper::name(valve.place), fmt::join(list, ", "));
}

std::string family_words(const SearchQuestion& question) {
    const bool has_shims =
        std::any_of(question.valves().begin(), question.valves().end(),
                    [](const study::SearchValve& valve) { return valve.family != nullptr; });
    std::string text =
        !has_shims ? "Searched: settings alone, all shims stay."
        : question.options().order == study::PileOrder::taper
            ? "Searched: tapers, no shim larger than the one before it, of equal diameters the thinner first"
            : "Searched: shims in any order";
    if (has_shims)
        text += "; the face shim covers the seat, none is larger than the largest there is now, and all bend "
                "(spacers at the end stay).";
    for (const study::SearchValve& valve : question.valves())
        text += " " + family_words(question, valve);
    if (question.settings().size() > 1)
        text += fmt::format(" Each with {} settings of needles and main spring.", question.settings().size());
    return text;
}

std::string coverage_words(const SearchQuestion& question, const SearchResult& result) {
    const SearchPart& part = result.screening;
    std::string text;
    if (part.exhaustive) {
        text = fmt::format("Looked at {}{} of {} ways to build, each by coarse plates at few pressures.",
                           result.is_interrupted ? "" : "all, ", part.screened, many(part.candidates));
    } else {
        text = fmt::format(
            "Looked at {} of {}{} ways to build, each by coarse plates at few pressures: from the present "
            "stacks and from {} drawn at random (seed {}), always on from the best.",
            part.screened, question.valves().size() > 1 ? "at most " : "", many(part.candidates),
            std::min(question.options().starts, question.options().most) - 1, question.options().seed);
        if (const std::optional<double> share = share_better(part))
            text += fmt::format(" Of all ways, fewer than {:.2g} % are better than the best found (95 % "
                                "confidence: none of {} drawn at random is).",
                                100.0 * *share, part.sampled);
    }
    text += fmt::format(" Solved in full: {}; the screen erred by up to {:.2g} steps.", result.solved,
                        result.screen_error);
    static_assert(study::screen_doubt == 2.0); // "twice"
    if (result.bound && !result.reached())
        text += fmt::format(" None of those left unsolved comes nearer than {:.2f} steps, unless the screen "
                            "errs on it more than twice as much.",
                            *result.bound);
    if (result.is_interrupted) text += " Interrupted: this is the best so far.";
    return text;
}

/// "3 shims", "1 shim, 2 parts of the float and the main spring".
std::string parts_words(const SearchAnswer& answer) {
    std::vector<std::string> list;
    if (answer.changed > 0 || answer.parts() == 0)
        list.push_back(fmt::format("{} shim{}", answer.changed, answer.changed == 1 ? "" : "s"));
    if (answer.swapped > 0)
        list.push_back(fmt::format("{} part{} of the float", answer.swapped, answer.swapped == 1 ? "" : "s"));
    if (answer.springs > 0) list.emplace_back("the main spring");
    return listed(list);
}

/// What is turned for it, and to where: "base.compression at 13 clicks".
std::vector<std::string> turned(const SearchQuestion& question, const SearchAnswer& answer) {
    std::vector<std::string> list;
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const study::SearchValve& valve = question.valves()[v];
        if (const auto& turns = valve.fittings[answer.candidate.fittings[v]].turns)
            list.push_back(fmt::format("{} {:g} turns out", damper::name(valve.place), *turns));
    }
    for (std::size_t i = 0; i < question.needles().size(); ++i)
        if (answer.setting.clicks[i] != question.settings().front().clicks[i])
            list.push_back(
                fmt::format("{} at {:g} clicks", question.needles()[i].name, answer.setting.clicks[i]));
    if (answer.setting.preload)
        list.push_back("the main spring's preload at " + format_quantity(*answer.setting.preload, "mm"));
    return list;
}

/// "3 shims and the main spring changed in base.compression and base.compression at 13 clicks".
std::string work_words(const SearchQuestion& question, const SearchAnswer& answer) {
    const std::vector<std::string> set = turned(question, answer);
    if (answer.parts() == 0 && !set.empty()) return listed(set);
    std::string text = parts_words(answer) + " changed";
    if (question.valves().size() > 1 && answer.opened != 0)
        text += (answer.springs > 0 ? ", opening " : " in ") + listed(opened(question, answer));
    if (!set.empty()) text += ", and " + listed(set);
    return text;
}

/// The first sentence of an answer: whether the goal is reached, with what, and what the best still misses.
std::string verdict(const SearchQuestion& question, const SearchResult& result) {
    if (result.answers.empty()) return "Nothing was solved before it was interrupted.";
    const SearchAnswer& best = result.answers.front();
    if (result.reached())
        return best.changed == 0 && result.present.error == 0.0
                   ? "The set-up as it is reaches the goal."
                   : fmt::format("The goal is reached with {}.", work_words(question, best));
    std::vector<std::string> missed;
    for (std::size_t i = 0; i < best.lines.size(); ++i)
        if (best.lines[i] && !best.lines[i]->met()) {
            const Target& target = question.targets()[i];
            const double distance = best.lines[i]->distance;
            missed.push_back(fmt::format("line {} by {} ({})", i + 1, with_unit(target, std::abs(distance)),
                                         distance > 0.0 ? "too much" : "too little"));
        }
    if (study::is_as_it_is(question, best))
        return fmt::format("{} It misses {}.",
                           result.moved
                               ? "Nothing looked at comes nearer to the goal than the set-up as it is."
                               : "Nothing tried with these valves moves the goal: the set-up stays as "
                                 "it is.",
                           listed(missed));
    std::string text = fmt::format("Nothing looked at reaches the goal. The best misses {}.", listed(missed));
    if (const SearchAnswer* nearest = result.nearest();
        nearest != nullptr && best.error - nearest->error >= study::readable_gain)
        text += fmt::format(" With {} it would be {:.2f} steps nearer, less than a rider notices.",
                            work_words(question, *nearest), best.error - nearest->error);
    return text;
}

std::string steps(double error) {
    return std::isfinite(error) ? fixed(error, 2) : "unsolved";
}

/// Whether sleeves or coils may be exchanged.
bool swaps_parts(const SearchQuestion& question) {
    return std::any_of(question.valves().begin(), question.valves().end(),
                       [](const study::SearchValve& valve) {
                           return may_change(valve, &study::SearchFitting::sleeve) ||
                                  may_change(valve, &study::SearchFitting::coil);
                       });
}

/// Whether the main spring may be exchanged.
bool swaps_springs(const SearchQuestion& question) {
    return std::any_of(question.settings().begin(), question.settings().end(),
                       [](const study::SearchSetting& one) { return one.springs() > 0; });
}

std::vector<std::string> row(const SearchQuestion& question, const std::string& name,
                             const SearchAnswer& answer) {
    std::vector<std::string> cells{name, steps(answer.error), std::to_string(answer.changed)};
    if (swaps_parts(question)) cells.push_back(std::to_string(answer.swapped));
    if (swaps_springs(question)) cells.push_back(std::to_string(answer.springs));
    for (std::size_t i = 0; i < question.targets().size(); ++i) {
        const std::optional<LineError>& line = answer.lines.size() > i ? answer.lines[i] : std::nullopt;
        cells.push_back(!line ? "unsolved"
                              : value(question.targets()[i], line->value) + (line->met() ? "" : " *"));
    }
    return cells;
}

/// What fewer shims changed would reach.
std::string fewest(const SearchQuestion& question, const SearchResult& result) {
    std::vector<SearchAnswer> readably; // nearer
    for (const SearchAnswer& answer : result.by_changed)
        if (readably.empty() || answer.error == 0.0 ||
            readably.back().error - answer.error >= study::readable_gain)
            readably.push_back(answer);
    if (readably.size() < 2) return "";
    const bool swaps = swaps_parts(question) || swaps_springs(question);
    std::string text = fmt::format("\nBy {} changed, the nearest of those looked at with so many or fewer:\n",
                                   swaps ? "parts" : "shims");
    for (const SearchAnswer& answer : readably) {
        const std::string built_so = built(question, answer);
        const int parts = answer.parts();
        text += fmt::format("{:>2} {}{} {} steps\n{}", parts, swaps ? "part" : "shim",
                            parts == 1 ? ": " : "s:", steps(answer.error), built_so);
    }
    return text;
}

} // namespace

Fields<SearchAnswer> search_answer_fields() {
    using F = Field<SearchAnswer>;
    static constexpr std::array fields{
        F{{"error_steps", "goal error", "goal error", Magnitude::noticed, 2},
          [](const SearchAnswer& answer) { return value_of(answer.error); }},
        F{{"changed_shims", "shims changed", "shims changed", Magnitude::count},
          [](const SearchAnswer& answer) { return value_of(answer.changed); }},
        F{{"swapped_parts", "sleeves and coils", "sleeves and coils exchanged", Magnitude::count},
          [](const SearchAnswer& answer) { return value_of(answer.swapped); }},
        F{{"changed_springs", "main springs", "main springs exchanged", Magnitude::count},
          [](const SearchAnswer& answer) { return value_of(answer.springs); }},
    };
    return fields;
}

Json json(const SearchQuestion& question, const SearchResult& result, const SearchNames& names) {
    Json object;
    object["title"] = names.title;
    object["file"] = names.file;
    object["goal"] = names.goal;
    object["drawer"] = names.drawer;
    object["order"] = question.options().order == study::PileOrder::taper ? "taper" : "any";
    object["lines"] = Json::array();
    for (const Target& target : question.targets()) {
        Json line = place(target.line.figure);
        line["key"] = target.line.key;
        line["today"] = target.today_known ? Json(target.today) : Json(nullptr);
        line["low"] = std::isfinite(target.low) ? Json(target.low) : Json(nullptr);
        line["high"] = std::isfinite(target.high) ? Json(target.high) : Json(nullptr);
        line["step"] = target.step;
        object["lines"].push_back(line);
    }
    object["today"] = answer_json(question, result.present);
    object["stacks"] = Json::array();
    for (const SearchAnswer& answer : result.answers)
        object["stacks"].push_back(answer_json(question, answer));
    object["by_changed"] = Json::array();
    for (const SearchAnswer& answer : result.by_changed)
        object["by_changed"].push_back(answer_json(question, answer));
    object["coverage"] = coverage_json(question, result);
    object["drawer_title"] = names.drawer_title;
    object["sentences"] =
        Json::array({verdict(question, result), family_words(question), coverage_words(question, result)});
    refuse_non_finite(object);
    return object;
}

std::string text(const SearchQuestion& question, const SearchResult& result, const SearchNames& names) {
    std::string text =
        fmt::format("{}\n{}\nGoal: {} ({})\nAt hand: {} ({}), and the shims of the stacks that "
                    "may change\n\n",
                    names.title, names.file, names.goal_title, names.goal, names.drawer_title, names.drawer);
    Table goal(
        {{"", "", false}, {"line of the goal", "", true}, {"today", "", false}, {"wanted", "", false}});
    for (std::size_t i = 0; i < question.targets().size(); ++i) {
        const Target& target = question.targets()[i];
        goal.add({std::to_string(i + 1), words(target.line.figure),
                  target.today_known ? with_unit(target, target.today) : "unsolved", wanted(target)});
    }
    text += goal.text() + "\n" + wrapped(verdict(question, result), page_columns, "") + "\n\n";

    std::vector<Table::Column> columns{{"", "", true}, {"goal error", "steps"}, {"changed", "shims"}};
    if (swaps_parts(question)) columns.push_back({"of the float", "parts"});
    if (swaps_springs(question)) columns.push_back({"main", "springs"});
    for (std::size_t i = 0; i < question.targets().size(); ++i)
        columns.push_back(
            {fmt::format("line {}", i + 1), std::string(unit(question.targets()[i].line.figure.quantity))});
    Table table(std::move(columns));
    table.add(row(question, "today", result.present));
    // As it is it stands there already.
    const bool tells = !(result.answers.size() == 1 && study::is_as_it_is(question, result.answers.front()));
    for (std::size_t i = 0; tells && i < result.answers.size(); ++i)
        table.add(row(question, std::to_string(i + 1), result.answers[i]));
    text +=
        table.text() +
        wrapped(fmt::format(
                    "* misses its line. Goal error: root of the sum of squares of what the lines miss, "
                    "in steps that a rider notices. Of what is as near as the nearest but for less than {:g} "
                    "of a step and {} % of today's the least work comes first.",
                    study::equal_error, percent(study::equal_part)),
                page_columns, "") +
        (tells ? "\n\n" : "\n");
    for (std::size_t i = 0; tells && i < result.answers.size(); ++i)
        text += fmt::format("{:>2}\n{}{}", i + 1, built(question, result.answers[i]),
                            exchanged(question, result.answers[i]));
    text += fewest(question, result);
    return text + "\n" + wrapped(family_words(question), page_columns, "") + "\n" +
           wrapped(coverage_words(question, result), page_columns, "") + "\n";
}

Json json(const SearchPart& part, const std::string& output) {
    Json object;
    object["output"] = output;
    object["part"] = part.part;
    object["of"] = part.of;
    object["screened"] = part.screened;
    object["interrupted"] = part.is_interrupted;
    return object;
}

std::string text(const SearchPart& part, const std::string& output) {
    return fmt::format("{}: part {} of {}, {} screened{}. Give all parts to --merge, with the same files and "
                       "options.\n",
                       output, part.part, part.of, part.screened, part.is_interrupted ? ", interrupted" : "");
}

std::string words(const study::SearchProgress& progress) {
    std::string text = fmt::format(
        "{} {} of {}", progress.stage == study::SearchProgress::Stage::screening ? "screened" : "solved",
        progress.done, progress.most);
    if (progress.best) text += fmt::format(", best {:.2f} steps from the goal", *progress.best);
    return text;
}

} // namespace valve::report
