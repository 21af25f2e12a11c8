#include <valve/core/units.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/search.hpp>
#include <valve/report/text.hpp>

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

std::string built(const SearchQuestion& question, const SearchAnswer& answer) {
    std::string text;
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const study::SearchValve& valve = question.valves()[v];
        text += stack_words(
            std::string(damper::name(valve.place)) + ": ", question.written(v, answer.candidate.piles[v]),
            valve.sleeves.size() > 1
                ? fmt::format(", sleeve {} mm", trim_mm(valve.sleeves[answer.candidate.sleeves[v]]))
                : "");
    }
    std::vector<std::string> set;
    for (std::size_t i = 0; i < question.needles().size(); ++i)
        set.push_back(fmt::format("{} {:g} clicks", question.needles()[i].name, answer.setting.clicks[i]));
    if (answer.setting.spring) set.push_back("spring " + format_quantity(*answer.setting.spring, "N/mm"));
    if (!set.empty()) text += "     " + listed(set) + "\n";
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

Json answer_json(const SearchQuestion& question, const SearchAnswer& answer) {
    Json entry;
    Json valves = Json::object();
    Json sleeves = Json::object();
    Json clicks = Json::object();
    for (std::size_t v = 0; v < question.valves().size(); ++v) {
        const study::SearchValve& valve = question.valves()[v];
        const std::string name(damper::name(valve.place));
        valves[name] = Json(question.written(v, answer.candidate.piles[v]));
        if (!valve.sleeves.empty()) sleeves[name] = valve.sleeves[answer.candidate.sleeves[v]];
    }
    for (std::size_t i = 0; i < question.needles().size(); ++i)
        clicks[question.needles()[i].name] = answer.setting.clicks[i];
    entry["valves"] = valves;
    entry["sleeves_m"] = sleeves;
    entry["clicks"] = clicks;
    entry["spring_rate_N_m"] = or_null(answer.setting.spring);
    add_fields(entry, search_answer_fields(), answer);
    entry["reached"] = lines_json(answer.lines);
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

std::string family_words(const SearchQuestion& question) {
    std::string text =
        question.options().order == study::PileOrder::taper
            ? "Searched: tapers, no shim larger than the one before it, of equal diameters the thinner first"
            : "Searched: shims in any order";
    text += "; the face shim covers the seat, none is larger than the largest there is now, and all bend "
            "(spacers at the end stay).";
    for (const study::SearchValve& valve : question.valves())
        text += fmt::format(
            " {}: at most {} mm high{}.", damper::name(valve.place), trim_mm(valve.family->limits().height),
            valve.sleeves.size() > 1 ? fmt::format(", {} sleeves", valve.sleeves.size()) : "");
    if (question.settings().size() > 1)
        text += fmt::format(" Each with {} settings of needles and spring.", question.settings().size());
    return text;
}

std::string coverage_words(const SearchQuestion& question, const SearchResult& result) {
    const SearchPart& part = result.screening;
    std::string text;
    if (part.exhaustive) {
        text = fmt::format("Looked at {}{} of {} ways to build, each by coarse plates at few pressures.",
                           result.is_interrupted ? "" : "all, ", part.screened, many(part.candidates));
    } else {
        text = fmt::format("Looked at {} of {}{} ways to build, each by coarse plates at few pressures: from "
                           "the present stacks and from {} drawn at random (seed {}), always on from the "
                           "best.",
                           part.screened, question.valves().size() > 1 ? "at most " : "",
                           many(part.candidates), question.options().starts - 1, question.options().seed);
        if (const std::optional<double> share = share_better(part))
            text += fmt::format(" Of all ways, fewer than {:.2g} % are better than the best found (95 % "
                                "confidence: none of {} drawn at random is).",
                                100.0 * *share, part.sampled);
    }
    text += fmt::format(" Solved in full: {}; the screen erred by up to {:.2g} steps.", result.solved,
                        result.screen_error);
    if (result.bound)
        text += fmt::format(" None of those left unsolved comes nearer than {:.2f} steps, unless the screen "
                            "errs on it more than twice as much.",
                            *result.bound);
    if (result.is_interrupted) text += " Interrupted: this is the best so far.";
    return text;
}

/// What the best still misses.
std::string verdict(const SearchQuestion& question, const SearchResult& result) {
    if (result.answers.empty()) return "Nothing was solved before it was interrupted.";
    const SearchAnswer& best = result.answers.front();
    if (result.reached())
        return best.changed == 0 && result.present.error == 0.0
                   ? "The set-up as it is reaches the goal."
                   : fmt::format("The goal is reached with {} shim{} changed.", best.changed,
                                 best.changed == 1 ? "" : "s");
    std::vector<std::string> missed;
    for (std::size_t i = 0; i < best.lines.size(); ++i)
        if (best.lines[i] && !best.lines[i]->met()) {
            const Target& target = question.targets()[i];
            const double distance = best.lines[i]->distance;
            missed.push_back(fmt::format("line {} by {} ({})", i + 1, with_unit(target, std::abs(distance)),
                                         distance > 0.0 ? "too much" : "too little"));
        }
    return fmt::format("Nothing looked at reaches the goal. The nearest misses {}.", listed(missed));
}

std::string steps(double error) {
    return std::isfinite(error) ? fixed(error, 2) : "unsolved";
}

std::vector<std::string> row(const SearchQuestion& question, const std::string& name,
                             const SearchAnswer& answer) {
    std::vector<std::string> cells{name, steps(answer.error), std::to_string(answer.changed)};
    for (std::size_t i = 0; i < question.targets().size(); ++i) {
        const std::optional<LineError>& line = answer.lines.size() > i ? answer.lines[i] : std::nullopt;
        cells.push_back(!line ? "unsolved"
                              : value(question.targets()[i], line->value) + (line->met() ? "" : " *"));
    }
    return cells;
}

/// What fewer shims changed would reach.
std::string fewest(const SearchQuestion& question, const SearchResult& result) {
    if (result.by_changed.size() < 2) return "";
    std::string text = "\nBy shims changed, the nearest to the goal with so many or fewer:\n";
    for (const SearchAnswer& answer : result.by_changed) {
        const std::string built_so = built(question, answer);
        text += fmt::format("{:>2} shim{} {} steps\n{}", answer.changed,
                            answer.changed == 1 ? ": " : "s:", steps(answer.error), built_so);
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
    for (std::size_t i = 0; i < question.targets().size(); ++i)
        columns.push_back(
            {fmt::format("line {}", i + 1), std::string(unit(question.targets()[i].line.figure.quantity))});
    Table table(std::move(columns));
    table.add(row(question, "today", result.present));
    for (std::size_t i = 0; i < result.answers.size(); ++i)
        table.add(row(question, std::to_string(i + 1), result.answers[i]));
    text += table.text() +
            "* misses its line. Goal error: root of the sum of squares of what the lines miss, in "
            "steps that a rider notices.\n\n";
    for (std::size_t i = 0; i < result.answers.size(); ++i)
        text += fmt::format("{:>2}\n{}", i + 1, built(question, result.answers[i]));
    text += fewest(question, result);
    return text + "\n" + wrapped(family_words(question), page_columns, "") + "\n" +
           wrapped(coverage_words(question, result), page_columns, "") + "\n";
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
