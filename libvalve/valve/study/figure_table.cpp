#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/figure_table.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <utility>

namespace valve::study {

namespace {

/// Adds to `request` what one part after an "@" says.
void add_place(FigureRequest& request, std::string_view part, std::string_view whole) {
    const std::string_view text = trimmed(part);
    try {
        if (text.ends_with('%'))
            request.travel_share = parse_quantity(text, "%");
        else if (text.ends_with("Hz"))
            request.frequency = parse_quantity(text, "Hz");
        else
            request.speed = parse_quantity(text, "m/s");
    } catch (const InputError& error) {
        throw InputError(fmt::format("{}: after @ a rod speed (-3 m/s), a part of the travel (90 %) or "
                                     "a frequency (4 Hz) is expected: {}",
                                     in_quotes(whole), error.what()));
    }
}

bool goes(Way way, double speed) {
    return speed != 0.0 && (way == Way::both || (speed > 0.0) == (way == Way::compression));
}

Figure unsolved(const FigureRequest& column, const std::string& why) {
    return {column.quantity,     column.speed,     std::nullopt, why,
            column.travel_share, column.frequency, column.event};
}

/// By which a row is sorted; infinite where an onset is not reached, none where it is not solved.
std::optional<double> size(const FigureTable::Row& row, std::size_t column) {
    if (!row.error.empty() || !row.figures.at(column).error.empty()) return std::nullopt;
    if (!row.lacks.at(column).empty()) return std::nullopt;
    return std::abs(number(row.figures.at(column), infinity));
}

} // namespace

std::vector<FigureRequest> requests_of(std::string_view text, const std::vector<double>& speeds,
                                       const std::vector<RideEvent>& events) {
    const std::string_view whole = trimmed(text);
    std::string_view rest = whole;
    const auto next = [&] {
        const std::size_t end = std::min(rest.find('@'), rest.size());
        const std::string_view part = trimmed(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
        return part;
    };
    const FigureKind& kind = kind_named(next());
    FigureRequest request{kind.quantity};
    if (kind.event == Asked::always) {
        std::vector<FigureRequest> requests;
        if (!rest.empty()) {
            request.event = RideEvent::load(std::string(trimmed(rest)));
            requests.push_back(request);
        }
        for (const RideEvent& event : events) {
            if (request.event) break;
            requests.push_back(request);
            requests.back().event = event;
        }
        if (requests.empty())
            throw InputError(fmt::format("{}: over which event? Write {}@landing.yaml, or name it by --event",
                                         in_quotes(whole), kind.name()));
        return requests;
    }
    while (!rest.empty())
        add_place(request, next(), whole);
    if (kind.travel_share == Asked::always && !request.travel_share) request.travel_share = near_end;
    if (kind.frequency == Asked::always && kind.speed == Asked::never && request.speed)
        throw InputError(fmt::format("{}: belongs to no rod speed, but to a frequency: {}@{:g}Hz",
                                     in_quotes(whole), kind.name(), std::abs(*request.speed)));
    constexpr double middling = 4.0; // [Hz]
    if (kind.frequency == Asked::always && !request.frequency) request.frequency = middling;
    std::vector<FigureRequest> requests;
    if (kind.speed == Asked::always && !request.speed) {
        for (const double speed : speeds)
            if (goes(kind.way, speed)) requests.push_back({kind.quantity, speed, request.travel_share});
        if (requests.empty())
            throw InputError(fmt::format("{}: at which rod speed? Write {}@{}1", in_quotes(whole),
                                         kind.name(), kind.way == Way::rebound ? "-" : ""));
    } else {
        requests.push_back(request);
    }
    for (const FigureRequest& one : requests)
        check(one);
    return requests;
}

bool FigureTable::failed() const {
    return std::any_of(rows.begin(), rows.end(), [](const Row& row) {
        return !row.error.empty() || std::any_of(row.figures.begin(), row.figures.end(),
                                                 [](const Figure& figure) { return !figure.error.empty(); });
    });
}

FigureTable figure_table(const std::vector<TableEntry>& entries, std::vector<FigureRequest> columns,
                         EvaluateOptions options, damper::LiftCache& lifts) {
    FigureTable table{options.top_speed, std::move(columns)};
    std::vector<std::optional<setup::Reading>> readings(entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i) { // all are read before any is solved
        const TableEntry& entry = entries[i];
        table.rows.push_back({i, entry.file, entry.setting, {}});
        FigureTable::Row& row = table.rows.back();
        row.error = entry.error;
        if (!entry.document) continue;
        readings[i] = setup::read(*entry.document);
        unit_of(entry.file, *readings[i]);
        row.title = readings[i]->title;
    }
    std::vector<std::unique_ptr<Evaluation>> evaluations(entries.size());
    for (std::size_t i = 0; i < entries.size(); ++i) {
        if (!readings[i]) continue;
        evaluations[i] = std::make_unique<Evaluation>(*readings[i], options, lifts);
        if (readings[i]->unit->support && !options.hit) {
            options.hit = evaluations[i]->hit();
            options.heavy_load = evaluations[i]->heavy_load();
        }
    }
    for_each_index(entries.size(), [&](std::size_t i) {
        FigureTable::Row& row = table.rows[i];
        for (const FigureRequest& column : table.columns) {
            row.lacks.emplace_back();
            try {
                row.figures.push_back(evaluations[i] ? evaluate(*evaluations[i], column)
                                                     : unsolved(column, row.error));
            } catch (const InputError& error) {
                row.figures.push_back(unsolved(column, {}));
                row.lacks.back() = error.what();
            }
        }
    });
    for (std::size_t k = 0; k < table.columns.size(); ++k) {
        const auto lacks = [&](const FigureTable::Row& row) { return !row.lacks[k].empty(); };
        if (!table.rows.empty() && std::all_of(table.rows.begin(), table.rows.end(), lacks))
            throw InputError(fmt::format("{}: {}", table.rows.front().file, table.rows.front().lacks[k]));
    }
    for (FigureTable::Row& row : table.rows) {
        // One message for a set-up of which nothing can be solved.
        if (!row.figures.empty() &&
            std::all_of(row.figures.begin(), row.figures.end(), [&](const Figure& figure) {
                return !figure.error.empty() && figure.error == row.figures.front().error;
            }))
            row.error = row.figures.front().error;
    }
    return table;
}

void sort(FigureTable& table, std::size_t column, bool largest_first) {
    std::stable_sort(table.rows.begin(), table.rows.end(),
                     [&](const FigureTable::Row& a, const FigureTable::Row& b) {
                         const std::optional<double> left = size(a, column);
                         const std::optional<double> right = size(b, column);
                         if (!left || !right) return left.has_value() && !right.has_value();
                         return largest_first ? *left > *right : *left < *right;
                     });
}

} // namespace valve::study
