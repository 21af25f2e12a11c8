#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/study/goal.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string_view>

namespace valve::study {

namespace {

using setup::Must;
using setup::PlacedText;

/// Calls `parse` with the text; what it throws gets the place.
template <class Parse>
auto placed(const PlacedText& text, const Parse& parse) {
    try {
        return parse(text.text());
    } catch (const InputError& error) {
        text.refuse(error.what());
    }
}

std::optional<double> quantity_of(const std::optional<PlacedText>& text, std::string_view bare_unit) {
    if (!text) return std::nullopt;
    return placed(*text, [&](const std::string& written) { return parse_quantity(written, bare_unit); });
}

bool speaks_of_today(Must must) {
    return must == Must::change || must == Must::keep;
}

/// Of a figure that is a share itself a limit in % is a value, and no share of one.
Amount amount_of(const PlacedText& text, const FigureKind& kind, Must must) {
    return placed(text, [&](const std::string& written) {
        std::string_view number = trimmed(written);
        if (must == Must::change && number.starts_with('+'))
            number.remove_prefix(1); // says which way, as a minus does
        const bool is_value = kind.measure == Measure::share && !speaks_of_today(must);
        if (number.ends_with('%') && !is_value) return Amount{parse_quantity(number, "%"), true};
        return Amount{parse_quantity(number, scale(kind.measure).unit), false};
    });
}

/// The size counts where the sign says no more than which way the rod moves.
bool counts_by_size(const FigureRequest& figure) {
    switch (figure.quantity) {
    case Quantity::peak_force_rebound:
        return true;
    case Quantity::damping_force:
    case Quantity::end_force:
        return figure.speed.value_or(0.0) < 0.0;
    default:
        return false;
    }
}

void check_amount(const GoalLine& line, const PlacedText& written) {
    const auto refuse = [&](std::string_view why) {
        written.refuse(fmt::format("{} {}", in_quotes(written.text()), why));
    };
    if (line.must == Must::change && line.amount.value == 0.0)
        refuse("is no change; a figure that should stay says keep");
    if (line.must == Must::change && line.amount.is_share && line.amount.value <= -1.0)
        refuse("takes all of it away; a change lies above -100 %");
    if (line.must == Must::keep && !(line.amount.value > 0.0))
        refuse("is no room to stay within; expected more than 0, e.g. 2 %");
}

/// The event in the file at `path`. A fault in there is told at its own place, and then where it was asked
/// for; one of the file as a whole where it was asked for alone.
RideEvent event_of(const PlacedText& text, const std::string& path) {
    std::string fault;
    try {
        return RideEvent::load(path);
    } catch (const InputError& error) {
        fault = error.what();
    }
    if (fault.find('\n') == std::string::npos) text.refuse(fault);
    try {
        text.refuse("this file has the fault above");
    } catch (const InputError& asked) {
        throw InputError(fault + "\n" + asked.what());
    }
}

GoalLine resolved(const setup::GoalLine& written) {
    const FigureKind& kind =
        placed(written.figure, [](const std::string& name) -> const FigureKind& { return kind_named(name); });
    GoalLine line;
    line.key = written.key;
    line.figure = {kind.quantity, quantity_of(written.speed, "m/s"), quantity_of(written.travel, "%"),
                   quantity_of(written.frequency, "Hz")};
    if (written.event) line.figure.event = event_of(*written.event, written.event_path);
    try {
        check(line.figure);
    } catch (const InputError& error) {
        const PlacedText& at = written.speed       ? *written.speed
                               : written.travel    ? *written.travel
                               : written.frequency ? *written.frequency
                               : written.event     ? *written.event
                                                   : written.figure;
        at.refuse(error.what());
    }
    line.must = written.must;
    line.is_noticed = written.is_said;
    line.amount = amount_of(written.amount, kind, line.must);
    if (line.amount.is_share && line.must != Must::change && line.must != Must::keep)
        written.amount.refuse(fmt::format("{} is a share, of what? Expected a value in {}",
                                          in_quotes(written.amount.text()), scale(kind.measure).unit));
    check_amount(line, written.amount);
    if (counts_by_size(line.figure)) {
        line.direction = -1.0;
        if (line.must != Must::change) line.amount.value = std::abs(line.amount.value);
    }
    if (written.within) {
        line.within = amount_of(*written.within, kind, line.must == Must::change ? Must::keep : line.must);
        if (!(line.within->value >= 0.0))
            written.within->refuse(fmt::format("{} is below 0", in_quotes(written.within->text())));
    }
    return line;
}

double sized(const Amount& amount, double of) {
    return amount.is_share ? amount.value * std::abs(of) : amount.value;
}

/// The value that counts for a line; none where it was not solved.
std::optional<double> counted(const GoalLine& line, const Figure& figure, double top_speed) {
    if (!figure.error.empty()) return std::nullopt;
    return line.direction * number(figure, top_speed);
}

Target target_of(const GoalLine& line, const Figure& today, double top_speed) {
    const std::optional<double> value = counted(line, today, top_speed);
    if (!value && speaks_of_today(line.must))
        throw SolveError(fmt::format("{}: {} as it is today could not be solved: {}", line.key,
                                     kind_of(line.figure.quantity).name(), today.error));
    if (line.must == Must::change && kind_of(line.figure.quantity).is_onset && !today.value)
        throw InputError(
            fmt::format("{}: {}: today there is none up to {:.4g} m/s, so that no change of it can "
                        "be told; expected at_least, or a top speed that it lies below",
                        line.key, kind_of(line.figure.quantity).name(), top_speed));
    Target target{line, value.value_or(0.0), -infinity, infinity};
    target.today_known = value.has_value();
    const double about = value.value_or(line.amount.value);
    target.step = noticeable_step(line.figure.quantity, about);
    const double readable = scale(kind_of(line.figure.quantity).measure).smallest;
    const auto around = [&](double centre, double room) {
        target.low = centre - room;
        target.high = centre + room;
    };
    switch (line.must) {
    case Must::is:
        around(line.amount.value, line.within ? sized(*line.within, line.amount.value) : target.step);
        break;
    case Must::change:
        if (const double asked = sized(line.amount, target.today);
            line.is_noticed && std::abs(asked) < target.step) {
            target.line.written = line.amount;
            target.line.amount = {std::copysign(target.step, asked), false};
        }
        around(target.today + sized(target.line.amount, target.today),
               line.within ? sized(*line.within, target.today) : target.step);
        break;
    case Must::keep:
        // What cannot be read is no move: a figure near 0 has no room otherwise.
        around(target.today, std::max(sized(line.amount, target.today), readable));
        break;
    case Must::at_least:
        target.low = line.amount.value;
        break;
    case Must::at_most:
        target.high = line.amount.value;
        break;
    }
    return target;
}

double distance(const Target& target, double value) {
    if (value < target.low) return value - target.low;
    if (value > target.high) return value - target.high;
    return 0.0;
}

} // namespace

std::vector<FigureRequest> Goal::requests() const {
    std::vector<FigureRequest> list;
    list.reserve(lines.size());
    for (const GoalLine& line : lines)
        list.push_back(line.figure);
    return list;
}

std::vector<RideEvent> Goal::events() const {
    std::vector<RideEvent> list;
    for (const GoalLine& line : lines)
        if (line.figure.event && std::find(list.begin(), list.end(), line.figure.event) == list.end())
            list.push_back(line.figure.event);
    return list;
}

double Goal::top_speed(double usual) const {
    double top = usual;
    for (const GoalLine& line : lines)
        if (kind_of(line.figure.quantity).is_onset && !line.amount.is_share && !speaks_of_today(line.must))
            top = std::max(top, line.amount.value);
    return top;
}

Goal resolve(const setup::Goal& written) {
    Goal goal{written.path, written.title, {}, written.unused_events};
    for (const setup::GoalLine& line : written.lines)
        goal.lines.push_back(resolved(line));
    return goal;
}

std::vector<Target> targets(const Goal& goal, const std::vector<Figure>& today, double top_speed) {
    if (today.size() != goal.lines.size()) throw std::invalid_argument("targets: a figure a line");
    std::vector<Target> list;
    for (std::size_t i = 0; i < today.size(); ++i)
        list.push_back(target_of(goal.lines[i], today[i], top_speed));
    return list;
}

double furthest_speed(const std::vector<Target>& targets, double top_speed) {
    double furthest = top_speed;
    for (const Target& target : targets)
        if (kind_of(target.line.figure.quantity).is_onset && target.line.must == Must::change &&
            std::isfinite(target.high))
            furthest = std::max(furthest, target.high);
    return furthest;
}

std::optional<LineError> error_of(const Target& target, const Figure& figure, double top_speed) {
    const std::optional<double> value = counted(target.line, figure, top_speed);
    if (!value) return std::nullopt;
    LineError error{*value, distance(target, *value), 0.0};
    error.but_for_dips = figure.but_for_dips;
    error.reversals = figure.reversals;
    error.steps = error.distance / target.step;
    const double today = target.today_known ? distance(target, target.today) : 0.0;
    const double readable = scale(kind_of(figure.quantity).measure).smallest;
    if (target.line.never_worse && std::abs(error.distance) > std::abs(today) + readable)
        error.steps = std::copysign(infinity, error.distance);
    // Past the goal and out at its other side is not further on the way.
    if (today != 0.0) error.reached = 1.0 - std::abs(error.distance) / std::abs(today);
    return error;
}

std::vector<std::optional<LineError>> errors_of(const std::vector<Target>& targets,
                                                const std::vector<Figure>& figures, double top_speed) {
    if (figures.size() != targets.size()) throw std::invalid_argument("errors_of: a figure a line");
    std::vector<std::optional<LineError>> errors;
    for (std::size_t i = 0; i < figures.size(); ++i)
        errors.push_back(error_of(targets[i], figures[i], top_speed));
    return errors;
}

} // namespace valve::study
