#include <valve/report/advice_fields.hpp>
#include <valve/report/advise.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/cut_off.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

namespace valve::report {

namespace {

using setup::Must;
using study::Advice;
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
    line["words"] = line_words(advice, i);
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

std::string indented(const std::string& words, std::size_t columns = 5) {
    const std::string blanks(columns, ' ');
    return blanks + wrapped(words, page_columns - columns, blanks) + "\n";
}

Table table_of(const std::vector<Suggestion>& list, std::size_t first) {
    const auto field = [](std::string_view key) { return field_of(suggestion_fields(), key); };
    const std::array fields{field("reached"), field("side_effect"), field("effort"), field("words")};
    std::vector<Table::Column> columns{{"", ""}};
    for (const Field<Suggestion>& one : fields)
        columns.push_back(column(one));
    Table table(std::move(columns));
    for (std::size_t i = 0; i < list.size(); ++i) {
        std::vector<std::string> cells{std::to_string(first + i)};
        for (const Field<Suggestion>& one : fields)
            cells.push_back(cell(one, list[i]));
        table.add(std::move(cells));
    }
    return table;
}

/// What the first of a list does, in full.
std::string in_full(const Suggestion& suggestion, const Advice& advice, std::size_t number) {
    return indented(fmt::format("{} gives: {}.", number, gives_words(suggestion, advice))) +
           indented(side_words(suggestion, advice.at.top_speed));
}

bool dips(const Suggestion& suggestion) {
    return std::any_of(suggestion.lines.begin(), suggestion.lines.end(),
                       [](const LineError& line) { return bool(line.but_for_dips); }) ||
           std::any_of(suggestion.moves.begin(), suggestion.moves.end(),
                       [](const Move& move) { return move.from.but_for_dips || move.to.but_for_dips; });
}

/// What the runs behind the figures give to think.
std::vector<std::string> cautions(const Advice& advice) {
    std::vector<std::string> all;
    for (const std::string& event : advice.goal.unused_events)
        all.push_back(fmt::format("No line of {} for what was said is over {}: it is not ridden.",
                                  advice.goal.path, event));
    for (std::size_t i = 0; i < advice.targets.size(); ++i)
        if (const std::string wide = wide_words(advice, i); !wide.empty()) all.push_back(wide);
    for (const std::string& cut_off : cut_off_sentences(advice.today))
        all.push_back(cut_off);
    for (const std::string& swings : swing_sentences(advice.today))
        all.push_back("As it is: " + swings);
    const bool any_dips =
        std::any_of(advice.today.begin(), advice.today.end(),
                    [](const study::Figure& figure) { return bool(figure.but_for_dips); }) ||
        std::any_of(advice.changes.begin(), advice.changes.end(), dips) ||
        std::any_of(advice.pairs.begin(), advice.pairs.end(), dips) ||
        (advice.nearest && dips(*advice.nearest));
    if (any_dips) all.emplace_back(caution_of_dips);
    return all;
}

/// A suggestion with its sentences.
Json told_json(const Suggestion& suggestion, const Advice& advice) {
    Json object = json(suggestion);
    object["gives"] = gives_words(suggestion, advice);
    object["also"] = side_words(suggestion, advice.at.top_speed);
    return object;
}

} // namespace

std::string set_words(const Suggestion& suggestion) {
    std::string text;
    for (const study::Step& step : suggestion.steps) {
        text += fmt::format("{}{}={}", text.empty() ? "" : "; ", step.key, step.to);
        for (const setup::Difference& other : step.with)
            text += fmt::format("; {}={}", other.key, other.to.value_or(""));
    }
    return text;
}

Json json(const Suggestion& suggestion) {
    Json object;
    const bool is_single = suggestion.steps.size() == 1;
    const study::Step only = is_single ? suggestion.steps.front() : study::Step{};
    object["key"] = is_single ? Json(only.key) : Json(nullptr);
    object["from"] = is_single ? Json(only.from) : Json(nullptr);
    object["to"] = is_single ? Json(only.to) : Json(nullptr);
    add_fields(object, suggestion_fields(), suggestion);
    object["steps"] = Json::array();
    object["set"] = Json::array();
    for (const study::Step& step : suggestion.steps) {
        const auto add = [&](const std::string& key, const std::string& from, const std::string& to) {
            object["steps"].push_back({{"key", key},
                                       {"from", from},
                                       {"to", to},
                                       {"steps", step.steps},
                                       {"effort", study::name(step.effort)},
                                       {"at_limit", step.is_at_limit},
                                       {"shim", step.shim ? Json(name(step.shim->change)) : Json(nullptr)},
                                       {"with", key == step.key ? Json(nullptr) : Json(step.key)}});
            object["set"].push_back(fmt::format("{}={}", key, to));
        };
        add(step.key, step.from, step.to);
        for (const setup::Difference& other : step.with)
            add(other.key, other.from.value_or(""), other.to.value_or(""));
    }
    object["lines"] = Json::array();
    for (const LineError& line : suggestion.lines)
        object["lines"].push_back({{"value", line.value},
                                   {"steps", line.steps},
                                   {"reached", or_null(line.reached)},
                                   {"met", line.met()},
                                   {"but_for_dips_m", or_null(line.but_for_dips)}});
    object["moves"] = Json::array();
    for (const Move& move : suggestion.moves)
        object["moves"].push_back(move_json(move));
    object["unsolved"] = Json::array();
    for (const study::Figure& figure : suggestion.unsolved) {
        Json one = place(figure.request());
        one["error"] = figure.error;
        object["unsolved"].push_back(std::move(one));
    }
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
        object["changes"].push_back(told_json(change, advice));
    object["pairs"] = Json::array();
    for (const Suggestion& pair : advice.pairs)
        object["pairs"].push_back(told_json(pair, advice));
    object["nearest"] = advice.nearest ? told_json(*advice.nearest, advice) : Json(nullptr);
    object["beside"] = Json::array();
    for (const std::optional<Suggestion>& one : advice.beside)
        object["beside"].push_back(one ? told_json(*one, advice) : Json(nullptr));
    object["levers"] = advice.levers;
    object["tried"] = advice.tried;
    object["rule"] = rule_of_advice();
    object["ridden_again"] = advice.was_ridden_again;
    object["solved_again"] = advice.was_solved_again;
    object["largest_search_error_steps"] = advice.was_ridden_again || advice.was_solved_again
                                               ? Json(advice.largest_search_error)
                                               : Json(nullptr);
    object["interrupted"] = advice.is_interrupted;
    object["cautions"] = cautions(advice);
    object["sentences"] = Json::array({verdict_words(advice)});
    for (std::string& one : closing_words(advice))
        object["sentences"].push_back(std::move(one));
    return object;
}

Json points(const Advice& advice) {
    Json rows = Json::array();
    for (const Suggestion& change : advice.changes) {
        const study::Step& step = change.steps.front();
        Json row{{"key", step.key}, {"from", step.from}, {"to", step.to}};
        add_fields(row, suggestion_fields(), change);
        row["at_limit"] = step.is_at_limit;
        row["set"] = set_words(change);
        rows.push_back(row);
    }
    return rows;
}

std::string text(const Advice& advice) {
    std::string out = fmt::format("{}: {}\n{}: {}\n", advice.file, advice.reading.title, advice.goal.path,
                                  advice.goal.title);
    for (std::size_t i = 0; i < advice.targets.size(); ++i)
        out += indented(line_words(advice, i), 2);
    for (const std::string& caution : cautions(advice))
        out += indented(caution, 2);
    if (advice.met_today()) return out + "\n" + verdict_words(advice) + "\n";
    out += fmt::format("\nSingle changes, the best first ({} levers, {} set-ups solved):\n", advice.levers,
                       advice.tried);
    if (advice.changes.empty())
        out += fmt::format("  none reaches {:.0f} % of the goal.\n", study::least_reached * 100.0);
    else
        out += table_of(advice.changes, 1).text() + in_full(advice.changes.front(), advice, 1);
    if (!advice.pairs.empty()) {
        const std::size_t first = advice.changes.size() + 1;
        out += "\nPairs that reach further, or disturb less for what they reach:\n" +
               table_of(advice.pairs, first).text() + in_full(advice.pairs.front(), advice, first);
    }
    out += "\n";
    for (const std::string& one : closing_words(advice))
        out += wrapped(one, page_columns, "") + "\n";
    return out + wrapped(rule_of_advice(), page_columns, "") + "\n";
}

} // namespace valve::report
