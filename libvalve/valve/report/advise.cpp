#include <valve/report/advise.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/key_words.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace valve::report {

namespace {

using setup::Must;
using study::Advice;
using study::GoalLine;
using study::LineError;
using study::Move;
using study::Suggestion;

std::string_view name(Must must) {
    constexpr std::array<std::string_view, 5> names{"is", "at_least", "at_most", "change", "keep"};
    return names.at(static_cast<std::size_t>(must));
}

std::string_view name(setup::ShimChange change) {
    constexpr std::array<std::string_view, 5> names{"more", "fewer", "thicker", "thinner", "smaller"};
    return names.at(static_cast<std::size_t>(change));
}

/// `value` [SI] of the line's figure with its unit.
std::string value_of(const GoalLine& line, double value) {
    const study::Scale& scale = study::scale(study::kind_of(line.figure.quantity).measure);
    return fmt::format("{} {}", fixed(value / scale.in_si, scale.digits), scale.unit);
}

std::string amount_of(const GoalLine& line, const study::Amount& amount, bool with_sign = false) {
    const std::string text =
        amount.is_share ? fmt::format("{:.3g} %", amount.value * 100.0) : value_of(line, amount.value);
    return (with_sign && amount.value > 0.0 ? "+" : "") + text;
}

std::string percent(double share) {
    return fixed(share * 100.0, 0);
}

/// The figure of a line with another value, its size where that counts.
std::string counted_words(const GoalLine& line, const LineError& error, double top_speed) {
    if (std::isinf(error.distance)) return "not solved";
    if (study::kind_of(line.figure.quantity).is_onset && error.value >= top_speed)
        return fmt::format("none up to {} m/s", metres_a_second(top_speed));
    return value_of(line, error.value);
}

Json line_json(const Advice& advice, std::size_t i) {
    const study::Target& target = advice.targets[i];
    const LineError& error = advice.errors[i];
    Json line = place(target.line.figure);
    line["must"] = name(target.line.must);
    line["today"] = or_null(advice.today[i].value);
    line["counts_by_size"] = target.line.direction < 0.0;
    line["low"] = std::isfinite(target.low) ? Json(target.low) : Json(nullptr);
    line["high"] = std::isfinite(target.high) ? Json(target.high) : Json(nullptr);
    line["noticeable_step"] = target.step;
    line["steps"] = std::isfinite(error.steps) ? Json(error.steps) : Json(nullptr);
    line["met"] = error.met();
    line["error"] = advice.today[i].error.empty() ? Json(nullptr) : Json(advice.today[i].error);
    return line;
}

Json move_json(const Move& move) {
    Json object = place(move.from.request());
    object["from"] = or_null(move.from.value);
    object["to"] = or_null(move.to.value);
    object["noticeable_steps"] = move.steps;
    object["is_gain"] = move.is_gain;
    return object;
}

std::vector<std::string> noticed(const Suggestion& suggestion, bool gains, double top_speed) {
    std::vector<std::string> said;
    for (const Move& move : suggestion.moves)
        if (move.is_gain == gains && std::abs(move.steps) >= 1.0)
            said.push_back(fmt::format("{} {} → {}", words(move.to), value_words(move.from, top_speed),
                                       value_words(move.to, top_speed)));
    return said;
}

/// The first few of a list, and how many more there are.
std::string shortened(std::vector<std::string> said) {
    constexpr std::size_t most = 3;
    const std::size_t left = said.size() > most ? said.size() - most : 0;
    said.resize(said.size() - left);
    std::string text = fmt::format("{}", fmt::join(said, "; "));
    if (left > 0) text += fmt::format("; and {} more", left);
    return text;
}

std::string indented(const std::string& words, std::size_t columns = 5) {
    const std::string blanks(columns, ' ');
    return blanks + wrapped(words, page_columns - columns, blanks) + "\n";
}

Table table_of(const std::vector<Suggestion>& list, std::size_t first) {
    Table table(
        {{"", ""}, {"goal", "%"}, {"side effect", "steps"}, {"effort", "", true}, {"change", "", true}});
    for (std::size_t i = 0; i < list.size(); ++i)
        table.add({std::to_string(first + i), percent(list[i].reached), fixed(list[i].side_effect, 1),
                   std::string(study::name(list[i].effort)), words(list[i])});
    return table;
}

/// What the first of a list does, in full.
std::string in_full(const Suggestion& suggestion, const Advice& advice, std::size_t number) {
    std::string reached;
    for (std::size_t i = 0; i < suggestion.lines.size(); ++i)
        reached +=
            fmt::format("{}{} {}{}", reached.empty() ? "" : "; ", words(advice.targets[i].line.figure),
                        counted_words(advice.targets[i].line, suggestion.lines[i], advice.at.top_speed),
                        suggestion.lines[i].met() ? "" : " (not met)");
    std::string out = indented(fmt::format("{} gives: {}.", number, reached));
    const std::string side = side_words(suggestion, advice.at.top_speed);
    return out + indented(side.empty() ? "It moves nothing else by a noticeable step." : side);
}

std::string goal_lines(const Advice& advice) {
    std::string out;
    for (std::size_t i = 0; i < advice.targets.size(); ++i) {
        const GoalLine& line = advice.targets[i].line;
        const LineError& error = advice.errors[i];
        const std::string off =
            error.met() ? "met" : fmt::format("{} steps off", fixed(std::abs(error.steps), 1));
        out += indented(fmt::format("{} {}: today {}, {}.", words(line.figure), words(line),
                                    counted_words(line, error, advice.at.top_speed),
                                    std::isinf(error.steps) ? "so that it is not met" : off),
                        2);
    }
    return out;
}

/// How sizes were sought and figures told, where not alike.
std::string sought_words(const Advice& advice) {
    if (!advice.was_ridden_again && !advice.was_solved_again) return "";
    std::string sought;
    std::string told;
    if (advice.was_solved_again) {
        sought = " with stacks taken for round";
        told = " solved again with stacks as they bend round the ring";
    }
    if (advice.was_ridden_again) {
        sought +=
            std::string(sought.empty() ? "" : " and") + " on rides whose valves follow the pressure at once";
        told +=
            std::string(told.empty() ? "" : ", and") + " ridden again with moving valves where they can move";
    }
    return wrapped(
               fmt::format("Sizes were sought{}, set right by what the set-up as it is shows. What is told "
                           "was{}; the search was off by {} noticeable steps of the goal at most.",
                           sought, told, fixed(advice.largest_search_error, 2)),
               page_columns, "") +
           "\n";
}

std::string nearest_words(const Advice& advice) {
    if (!advice.nearest)
        return "Nothing that was tried takes it any nearer; as it is it comes nearest. What one line asks, "
               "another forbids, or it takes more than one or two changes.\n";
    std::string far;
    for (std::size_t i = 0; i < advice.nearest->lines.size(); ++i) {
        const LineError& error = advice.nearest->lines[i];
        if (error.met()) continue;
        far += fmt::format("{}{} {}, {} steps off", far.empty() ? "" : "; ",
                           words(advice.targets[i].line.figure),
                           counted_words(advice.targets[i].line, error, advice.at.top_speed),
                           fixed(std::abs(error.steps), 1));
    }
    return wrapped(
               fmt::format("Nothing that was tried meets the goal. Nearest comes {}, {} % of the way: {}.",
                           words(*advice.nearest), percent(advice.nearest->reached), far),
               page_columns, "") +
           "\n";
}

/// How changes are sized and ranked.
constexpr std::string_view rule_of_rank =
    "Each change has the size, in steps that a workshop makes, that leaves the least of the goal, counted in "
    "noticeable steps over its lines. Side effect: noticeable steps of all figures that compare shows and "
    "the goal does not name, each quantity and stroke by its largest move; what moves for the better does "
    "not count. The best reaches most for each step of side effect, the first of which is free; within 10 % "
    "the least effort comes first: clicks, oil volume, preload, gas, spring, oil grade, shims (with float "
    "and coils), parts (common practice, no source).";

/// How far levers go.
std::string limits_of_levers() {
    return fmt::format(
        " No lever goes further than {} steps of oil ({:g} ml, {:g} mm of its level) or {} grades of {:.0f} "
        "%, "
        "a spring from {:g} to {:g} times its rate, gas from {:g} to {:g} times its pressure, ports to "
        "{:g} times their size, any other in like manner, and what the part has (common practice, no "
        "source).",
        study::most_oil_steps, study::most_oil_steps * study::oil_step * 1e6,
        study::most_oil_steps * study::oil_level_step * 1e3, study::most_grades,
        (study::oil_grade_step - 1.0) * 100.0, study::least_of_spring, study::most_of_spring,
        study::least_of_gas, study::most_of_gas, study::most_of_ports);
}

} // namespace

std::string words(const GoalLine& line) {
    const std::string within =
        line.within ? fmt::format(", give or take {}", amount_of(line, *line.within)) : "";
    switch (line.must) {
    case Must::is:
        return "should be " + amount_of(line, line.amount) + within;
    case Must::at_least:
        return "should be at least " + amount_of(line, line.amount);
    case Must::at_most:
        return "should be at most " + amount_of(line, line.amount);
    case Must::change:
        return "should change by " + amount_of(line, line.amount, true) + within;
    case Must::keep:
        return "should stay within " + amount_of(line, line.amount);
    }
    return {};
}

std::string words(const study::Step& step) {
    if (!step.shim) return change_words({step.key, step.from, step.to});
    const setup::ShimVariant& shim = *step.shim;
    const std::string what = shim.change == setup::ShimChange::more ? fmt::format("one more {}", shim.was)
                             : shim.change == setup::ShimChange::fewer
                                 ? fmt::format("one {} less", shim.was)
                                 : fmt::format("{} for one {}", shim.becomes, shim.was);
    const std::string valve = short_key(step.key.substr(0, step.key.rfind('.')));
    return fmt::format("{} in the {} ({})", what, valve_words(valve), short_key(step.key));
}

std::string words(const Suggestion& suggestion) {
    std::vector<std::string> said;
    for (const study::Step& step : suggestion.steps)
        said.push_back(words(step));
    return fmt::format("{}", fmt::join(said, ", with "));
}

std::string side_words(const Suggestion& suggestion, double top_speed) {
    const std::vector<std::string> costs = noticed(suggestion, false, top_speed);
    const std::vector<std::string> gains = noticed(suggestion, true, top_speed);
    std::string text;
    if (!costs.empty()) text += fmt::format("It also moves: {}.", shortened(costs));
    if (!gains.empty()) text += fmt::format("{}Better too: {}.", text.empty() ? "" : " ", shortened(gains));
    return text;
}

Json json(const Suggestion& suggestion) {
    Json object;
    const bool is_single = suggestion.steps.size() == 1;
    const study::Step& first = suggestion.steps.front();
    object["key"] = is_single ? Json(first.key) : Json(nullptr);
    object["from"] = is_single ? Json(first.from) : Json(nullptr);
    object["to"] = is_single ? Json(first.to) : Json(nullptr);
    object["reached"] = suggestion.reached;
    object["side_effect"] = suggestion.side_effect;
    object["effort"] = study::name(suggestion.effort);
    object["worth"] = suggestion.worth;
    object["meets"] = suggestion.meets();
    object["words"] = words(suggestion);
    object["steps"] = Json::array();
    for (const study::Step& step : suggestion.steps)
        object["steps"].push_back({{"key", step.key},
                                   {"from", step.from},
                                   {"to", step.to},
                                   {"steps", step.steps},
                                   {"effort", study::name(step.effort)},
                                   {"shim", step.shim ? Json(name(step.shim->change)) : Json(nullptr)}});
    object["lines"] = Json::array();
    for (const LineError& line : suggestion.lines)
        object["lines"].push_back({{"value", line.value},
                                   {"steps", line.steps},
                                   {"reached", or_null(line.reached)},
                                   {"met", line.met()}});
    object["moves"] = Json::array();
    for (const Move& move : suggestion.moves)
        object["moves"].push_back(move_json(move));
    return object;
}

Json json(const Advice& advice) {
    Json object;
    object["file"] = advice.file;
    object["title"] = advice.reading.title;
    object["goal"] = advice.goal.path;
    object["goal_title"] = advice.goal.title;
    object["shape"] = shape_name(advice.shape == stack::Shape::as_it_bends);
    object["top_speed_m_s"] = advice.at.top_speed;
    object["lines"] = Json::array();
    for (std::size_t i = 0; i < advice.targets.size(); ++i)
        object["lines"].push_back(line_json(advice, i));
    object["met_today"] = advice.met_today();
    object["can_be_met"] = advice.can_be_met();
    object["changes"] = Json::array();
    for (const Suggestion& change : advice.changes)
        object["changes"].push_back(json(change));
    object["pairs"] = Json::array();
    for (const Suggestion& pair : advice.pairs)
        object["pairs"].push_back(json(pair));
    object["nearest"] = advice.nearest ? json(*advice.nearest) : Json(nullptr);
    object["levers"] = advice.levers;
    object["tried"] = advice.tried;
    object["rule"] = rule_of_advice();
    object["ridden_again"] = advice.was_ridden_again;
    object["solved_again"] = advice.was_solved_again;
    object["largest_search_error_steps"] = advice.was_ridden_again || advice.was_solved_again
                                               ? Json(advice.largest_search_error)
                                               : Json(nullptr);
    object["interrupted"] = advice.is_interrupted;
    return object;
}

Json points(const Advice& advice) {
    Json rows = Json::array();
    for (const Suggestion& change : advice.changes) {
        Json row;
        const Json whole = json(change);
        for (const char* key :
             {"key", "from", "to", "reached", "side_effect", "effort", "worth", "meets", "words"})
            row[key] = whole.at(key);
        rows.push_back(row);
    }
    return rows;
}

std::string text(const Advice& advice) {
    std::string out = fmt::format("{}: {}\n{}: {}\n", advice.file, advice.reading.title, advice.goal.path,
                                  advice.goal.title);
    out += goal_lines(advice);
    if (advice.met_today()) return out + "\nAs it is it meets the goal; nothing needs to change.\n";
    out += fmt::format("\nSingle changes, the best first ({} levers, {} set-ups solved):\n", advice.levers,
                       advice.tried);
    if (advice.changes.empty())
        out += fmt::format("  none reaches {} % of the goal.\n", percent(study::least_reached));
    else
        out += table_of(advice.changes, 1).text() + in_full(advice.changes.front(), advice, 1);
    if (!advice.pairs.empty()) {
        const std::size_t first = advice.changes.size() + 1;
        out += "\nPairs that reach further, or disturb less for what they reach:\n" +
               table_of(advice.pairs, first).text() + in_full(advice.pairs.front(), advice, first);
    }
    out += "\n";
    if (!advice.can_be_met()) out += nearest_words(advice);
    out += sought_words(advice);
    if (advice.is_interrupted) out += "Interrupted: this is the best so far.\n";
    return out + wrapped(rule_of_advice(), page_columns, "") + "\n";
}

std::string_view rule_of_advice() {
    static const std::string rule = std::string(rule_of_rank) + limits_of_levers();
    return rule;
}

} // namespace valve::report
