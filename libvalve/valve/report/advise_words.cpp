#include <valve/report/advise.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/key_words.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
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

/// `value` [SI] of the line's figure with its unit.
std::string value_of(const GoalLine& line, double value) {
    const study::Scale& scale = study::scale(study::kind_of(line.figure.quantity).measure);
    return fmt::format("{} {}", fixed(value / scale.in_si, scale.digits), unit(line.figure.quantity));
}

std::string amount_of(const GoalLine& line, const study::Amount& amount, bool with_sign = false) {
    const std::string text =
        amount.is_share ? fmt::format("{:.3g} %", amount.value * 100.0) : value_of(line, amount.value);
    return (with_sign && amount.value > 0.0 ? "+" : "") + text;
}

/// The figure of a line with another value, its size where that counts.
std::string counted_words(const GoalLine& line, const LineError& error, double top_speed) {
    if (std::isinf(error.distance)) return "not solved";
    if (study::kind_of(line.figure.quantity).is_onset && error.value >= top_speed)
        return fmt::format("none up to {} m/s", metres_a_second(top_speed));
    return value_of(line, error.value) + dip_words(error.but_for_dips) + back_words(error.reversals);
}

std::vector<std::string> noticed(const Suggestion& suggestion, bool gains, double top_speed) {
    std::vector<std::string> said;
    for (const Move& move : suggestion.moves)
        if (move.is_gain == gains && std::abs(move.steps) >= 1.0)
            said.push_back(fmt::format("{} {} → {}", words(move.to), value_words(move.from, top_speed),
                                       value_words(move.to, top_speed)));
    return said;
}

/// "2.3 steps off", of a line that is missed.
std::string off_words(const LineError& error) {
    constexpr double least_told = 0.05;
    const double steps = std::abs(error.steps);
    return steps < least_told ? "less than 0.1 steps off" : fmt::format("{} steps off", fixed(steps, 1));
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

/// How sizes were sought and figures told, where not alike; else empty.
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
    return fmt::format("Sizes were sought{}, set right by what the set-up as it is shows. What is told "
                       "was{}; the search was off by {} noticeable steps of the goal at most.",
                       sought, told, fixed(advice.largest_search_error, 2));
}

std::string nearest_words(const Advice& advice) {
    if (advice.is_interrupted && advice.tried == 0) return "Nothing was solved before it was interrupted.";
    if (!advice.nearest && advice.is_interrupted) return "Nothing that was tried so far takes it any nearer.";
    if (!advice.nearest)
        return std::string("Nothing that was tried takes it any nearer; as it is it comes nearest. ") +
               (advice.targets.size() > 1 ? "What one line asks, another forbids, or it" : "It") +
               " takes more than one or two changes.";
    std::string far;
    for (std::size_t i = 0; i < advice.nearest->lines.size(); ++i) {
        const LineError& error = advice.nearest->lines[i];
        if (error.met()) continue;
        far +=
            fmt::format("{}{} {}, {}", far.empty() ? "" : "; ", words(advice.targets[i].line.figure),
                        counted_words(advice.targets[i].line, error, advice.at.top_speed), off_words(error));
    }
    return fmt::format("Nothing that was tried meets the goal. Nearest comes {}, {} % of the way: {}.",
                       words(*advice.nearest), percent(advice.nearest->reached), far);
}

/// How changes are sized and ranked.
constexpr std::string_view rule_of_rank =
    "Each change has the size, in steps that a workshop makes, that leaves the least of the goal, counted in "
    "noticeable steps over its lines. Side effect: noticeable steps of all figures that compare shows and "
    "the goal does not name, each quantity and stroke by its largest move; what moves for the better does "
    "not count, figures that are no longer solved count as 5 together (our choice). The best reaches most "
    "for each step of side effect, the first of which is free; within 10 % "
    "the least effort comes first: clicks, oil volume, preload, gas, spring, oil grade, shims (with float "
    "and coils), parts (common practice, no source).";

/// How far levers go.
std::string limits_of_levers() {
    return fmt::format(
        " No lever goes further than {} steps of oil ({:g} ml, {:g} mm of its level) or {} grades of {:.0f} "
        "%, "
        "a spring from {:g} to {:g} times its rate, gas and the air of a leg without a coil from {:g} to "
        "{:g} times its pressure and always up to {:g} bar, air beside a coil to {:g} bar above what it has, "
        "ports to {:g} times their size, any other in like manner, and what the part has (common practice, "
        "no source).",
        study::most_oil_steps, study::most_oil_steps * study::oil_step * 1e6,
        study::most_oil_steps * study::oil_level_step * 1e3, study::most_grades,
        (study::oil_grade_step - 1.0) * 100.0, study::least_of_spring, study::most_of_spring,
        study::least_of_gas, study::most_of_gas, study::least_most_gas / 1e5, study::most_leg_pressure / 1e5,
        study::most_of_ports);
}

std::string words_within(const GoalLine& line, const std::string& within) {
    switch (line.must) {
    case Must::is:
        return "should be " + amount_of(line, line.amount) + within;
    case Must::at_least:
        return "should be at least " + amount_of(line, line.amount);
    case Must::at_most:
        return "should be at most " + amount_of(line, line.amount);
    case Must::change:
        return "should change by " + amount_of(line, line.amount, true) +
               (line.written ? fmt::format(" (as much as a rider notices; {} is less)",
                                           amount_of(line, *line.written, true))
                             : "") +
               within;
    case Must::keep:
        return "should stay within " + amount_of(line, line.amount);
    }
    return {};
}

/// The room of a line that leaves it to what a rider notices [SI]; none where it states it, or has none.
std::optional<double> room_taken(const study::Target& target) {
    const bool has_room = target.line.must == Must::is || target.line.must == Must::change;
    return has_room && !target.line.within ? std::optional(target.step) : std::nullopt;
}

} // namespace

std::string words(const GoalLine& line) {
    return words_within(line,
                        line.within ? fmt::format(", give or take {}", amount_of(line, *line.within)) : "");
}

std::string words(const study::Step& step) {
    if (!step.shim) {
        std::string said = change_words({step.key, step.from, step.to});
        if (step.is_at_limit) said += ", as far as it goes";
        for (const setup::Difference& other : step.with)
            said += (&other == &step.with.front() ? ", and with it " : " and ") + change_words(other);
        return said;
    }
    const setup::ShimVariant& shim = *step.shim;
    const std::string what = shim.change == setup::ShimChange::more ? fmt::format("one more {}", shim.was)
                             : shim.change == setup::ShimChange::fewer
                                 ? fmt::format("one {} less", shim.was)
                                 : fmt::format("{} for one {}", shim.becomes, shim.was);
    const std::string valve = short_key(step.key.substr(0, step.key.rfind('.')));
    const std::string where = shim.is_alone    ? ""
                              : shim.item == 1 ? " on the piston face"
                                               : " behind the " + shim.behind;
    return fmt::format("{}{} in the {} ({})", what, where, valve_words(valve), short_key(step.key));
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
    if (!suggestion.unsolved.empty()) {
        std::vector<std::string> lost;
        for (const study::Figure& figure : suggestion.unsolved)
            lost.push_back(words(figure));
        text += fmt::format("{}No longer solved: {} ({}).", text.empty() ? "" : " ", shortened(lost),
                            suggestion.unsolved.front().error);
    }
    return text.empty() ? "It moves nothing else by a noticeable step." : text;
}

std::string gives_words(const Suggestion& suggestion, const Advice& advice) {
    std::string given;
    for (std::size_t i = 0; i < suggestion.lines.size(); ++i)
        given += fmt::format("{}{} {}{}", given.empty() ? "" : "; ", words(advice.targets[i].line.figure),
                             counted_words(advice.targets[i].line, suggestion.lines[i], advice.at.top_speed),
                             suggestion.lines[i].met() ? "" : " (not met)");
    return given;
}

std::string line_words(const Advice& advice, std::size_t i) {
    const GoalLine& line = advice.targets.at(i).line;
    const LineError& error = advice.errors.at(i);
    const std::string off = error.met() ? "met" : off_words(error);
    const std::optional<double> room = room_taken(advice.targets[i]);
    const std::string asked =
        room ? words_within(line, fmt::format(", give or take {} (a noticeable step, as no within is given)",
                                              value_of(line, *room)))
             : words(line);
    return fmt::format("{} {}: today {}, {}.", words(line.figure), asked,
                       counted_words(line, error, advice.at.top_speed),
                       std::isinf(error.steps) ? "so that it is not met" : off);
}

std::string wide_words(const Advice& advice, std::size_t i) {
    const study::Target& target = advice.targets.at(i);
    const std::optional<double> room = room_taken(target);
    if (target.line.must != Must::change || !room) return "";
    const double asked = std::abs(0.5 * (target.low + target.high) - target.today);
    if (*room < asked) return "";
    return fmt::format("{}: the change asked for, {}, is no more than the {} taken as near enough, so that "
                       "today's value counts as met; within states another.",
                       words(target.line.figure), amount_of(target.line, target.line.amount, true),
                       value_of(target.line, *room));
}

std::string verdict_words(const Advice& advice) {
    if (advice.met_today()) return "As it is it meets the goal; nothing needs to change.";
    if (advice.changes.empty() && advice.pairs.empty())
        return fmt::format("Nothing that was tried reaches {} % of the goal.", percent(study::least_reached));
    std::vector<const Suggestion*> told;
    for (const std::vector<Suggestion>* list : {&advice.changes, &advice.pairs})
        for (const Suggestion& one : *list)
            told.push_back(&one);
    const auto cost = [](const Suggestion& one) {
        return fmt::format("{}, at {} steps of side effect", words(one), fixed(one.side_effect, 1));
    };
    std::string text = fmt::format("First of {} changes told comes {}: {} % of the goal.", told.size(),
                                   cost(*told.front()), percent(told.front()->reached));
    const auto meets = [](const Suggestion* one) { return one->meets(); };
    const auto count = std::count_if(told.begin(), told.end(), meets);
    if (count == 0) return text;
    if (told.front()->meets())
        return count == 1 ? text + " No other reaches all of it."
                          : text + fmt::format(" {} others reach all of it, too.", count - 1);
    return text +
           fmt::format(" All of it is reached by {}.", cost(**std::find_if(told.begin(), told.end(), meets)));
}

std::vector<std::string> closing_words(const Advice& advice) {
    std::vector<std::string> said;
    if (!advice.can_be_met()) said.push_back(nearest_words(advice));
    if (std::string sought = sought_words(advice); !sought.empty()) said.push_back(std::move(sought));
    if (advice.is_interrupted && advice.tried > 0) said.emplace_back("Interrupted: this is the best so far.");
    return said;
}

std::string_view rule_of_advice() {
    static const std::string rule = std::string(rule_of_rank) + limits_of_levers();
    return rule;
}

} // namespace valve::report
