#include <valve/core/findings.hpp>
#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/damper/check.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/measured_run.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string_view>
#include <utility>
#include <vector>

namespace valve::setup {
namespace {

using damper::MeasuredForce;

/// "load [lbf]" taken apart.
struct Named {
    std::string name;
    std::string unit; ///< empty where none is given
};

/// Where a quantity stands in a table.
struct Column {
    std::string name; ///< in the head
    std::string unit;
    double sign = 1.0;
};

struct Cell {
    std::string text;
    std::size_t column = 1; ///< where it begins in its line [characters]
};

Named named(std::string_view text) {
    const std::size_t open = text.find('[');
    if (open == std::string_view::npos || !text.ends_with(']')) return {std::string(trimmed(text)), {}};
    return {std::string(trimmed(text.substr(0, open))),
            std::string(trimmed(text.substr(open + 1, text.size() - open - 2)))};
}

std::vector<std::string> split(std::string_view text, char separator) {
    std::vector<std::string> parts;
    for (std::size_t end = text.find(separator); end != std::string_view::npos; end = text.find(separator)) {
        parts.emplace_back(text.substr(0, end));
        text.remove_prefix(end + 1);
    }
    parts.emplace_back(text);
    return parts;
}

/// What may be said of the columns of one kind of table.
struct Grammar {
    std::string usual;   ///< where nothing is said
    std::string example; ///< for messages
    std::vector<std::string> quantities;
};

const Grammar run_columns{
    "speed=speed,force=force", "speed=velocity[in/s],force=-load[lbf]", {"speed", "force", "damping"}};
const Grammar profile_columns{"distance=distance,height=height",
                              "columns: \"distance=s[m],height=-depth[mm]\", a key of the event",
                              {"distance", "height"}};
const Grammar trace_columns{"time=time,travel=travel", "time=t[ms],travel=-position[mm]", {"time", "travel"}};

[[noreturn]] void refuse_columns(const Grammar& grammar, std::string_view why) {
    throw ColumnsError(fmt::format("{}; expected e.g. {}", why, grammar.example));
}

/// Columns by the quantity that they hold.
std::map<std::string, Column> columns_of(const std::string& text, const Grammar& grammar) {
    std::map<std::string, Column> given;
    for (const std::string& entry : split(text.empty() ? grammar.usual : text, ',')) {
        const std::size_t equals = entry.find('=');
        const std::string what(trimmed(entry.substr(0, equals)));
        const auto& quantities = grammar.quantities;
        if (equals == std::string::npos ||
            std::find(quantities.begin(), quantities.end(), what) == quantities.end())
            refuse_columns(grammar, fmt::format("{} does not begin with {}=", in_quotes(entry),
                                                fmt::join(quantities, "= or ")));
        std::string_view source = trimmed(std::string_view(entry).substr(equals + 1));
        Column column;
        if (source.starts_with('-')) {
            column.sign = -1.0;
            source = trimmed(source.substr(1));
        }
        Named parts = named(source);
        if (parts.name.empty()) refuse_columns(grammar, fmt::format("{} names no column", in_quotes(entry)));
        column.name = std::move(parts.name);
        column.unit = std::move(parts.unit);
        if (!given.emplace(what, column).second)
            refuse_columns(grammar, fmt::format("{} is said twice", what));
    }
    return given;
}

/// A column to be read.
struct Wanted {
    const Column& column;
    Dimension dimension;
    const char* usual_unit; ///< for messages
    Limits limits;
    std::size_t index = 0;
    const Unit* unit = nullptr;
};

/// A table with its places.
class NumberTable {
public:
    /// `example` of a mapping of columns, for messages; `asked`: whether the caller gave one.
    NumberTable(const std::string& path, std::string example, bool asked)
        : m_example(std::move(example)), m_asked(asked) {
        FileText file = read_file(path);
        if (!file.fault.empty())
            throw InputError(fmt::format("{}: error: cannot be read: {}", path, file.fault));
        m_source = std::make_shared<const Source>(Source{path, std::move(file.text)});
    }

    /// One row: a value for each column wanted.
    struct Row {
        std::size_t line = 0;
        std::vector<double> values;
        std::vector<std::size_t> columns; ///< where each begins in its line [characters]
    };

    /// The rows in the order of the file, one at least.
    std::vector<Row> read(std::vector<Wanted> wanted) {
        std::vector<Row> rows;
        std::size_t head_cells = 0;
        std::size_t line = 0;
        for (const std::string& row : split(m_source->text, '\n')) {
            ++line;
            if (trimmed(row).empty() || trimmed(row).starts_with('#')) continue;
            if (head_cells == 0) {
                m_separator = separator_of(row);
                const std::vector<Cell> head = cells(row);
                head_cells = head.size();
                find_all(wanted, head, line);
                continue;
            }
            const std::vector<Cell> values = cells(row);
            if (values.size() != head_cells)
                fail({m_source, line, values[std::min(values.size() - 1, head_cells)].column}, "",
                     fmt::format("this line has {} cells, the head {}{}", values.size(), head_cells,
                                 m_separator == ',' ? ": are these decimal commas? Use points" : ""));
            Row& read = rows.emplace_back();
            read.line = line;
            for (const Wanted& one : wanted) {
                read.values.push_back(number(one, values, line));
                read.columns.push_back(values[one.index].column);
            }
        }
        if (rows.empty()) fail({m_source, std::max<std::size_t>(line, 1), 1}, "", "no line with numbers");
        return rows;
    }

    /// Refuses the row for its value number `of`.
    [[noreturn]] void refuse(const Row& row, std::size_t of, const std::string& why) const {
        fail({m_source, row.line, row.columns.at(of)}, "", why);
    }

    /// Throws unless there are `least` rows.
    void require_rows(const std::vector<Row>& rows, std::size_t least, const char* what) const {
        if (rows.size() < least)
            fail({m_source, rows.back().line, 1}, "",
                 fmt::format("{} needs {} lines with numbers or more", what, least));
    }

private:
    static char separator_of(std::string_view head) {
        for (const char candidate : {'\t', ';'})
            if (head.find(candidate) != std::string_view::npos) return candidate;
        return ',';
    }

    std::vector<Cell> cells(std::string_view row) const {
        if (row.ends_with('\r')) row.remove_suffix(1);
        std::vector<Cell> result;
        std::size_t column = 1;
        for (const std::string& part : split(row, m_separator)) {
            std::string_view text = trimmed(part);
            const std::size_t blanks = part.find_first_not_of(' ');
            if (text.size() >= 2 && text.starts_with('"') && text.ends_with('"'))
                text = trimmed(text.substr(1, text.size() - 2));
            result.push_back({std::string(text), column + (blanks == std::string::npos ? 0 : blanks)});
            column += character_count(part) + 1;
        }
        return result;
    }

    void find_all(std::vector<Wanted>& wanted, const std::vector<Cell>& head, std::size_t line) const {
        try {
            for (Wanted& one : wanted)
                find(one, head, line);
        } catch (const InputError& error) {
            if (m_asked) throw ColumnsError(error.what());
            throw;
        }
    }

    void find(Wanted& wanted, const std::vector<Cell>& head, std::size_t line) const {
        std::vector<std::string> names;
        const Column& column = wanted.column;
        for (std::size_t i = 0; i < head.size(); ++i) {
            const Named parts = named(head[i].text);
            names.push_back(parts.name);
            if (parts.name != column.name) continue;
            if (std::count(names.begin(), names.end(), column.name) > 1)
                fail({m_source, line, head[i].column}, "",
                     fmt::format("two columns {}", in_quotes(column.name)));
            const std::string symbol = column.unit.empty() ? parts.unit : column.unit;
            if (symbol.empty())
                fail({m_source, line, head[i].column}, "",
                     fmt::format("no unit for {}: write it in the head, {} [{}], or with the columns asked",
                                 in_quotes(column.name), column.name, wanted.usual_unit));
            wanted.index = i;
            wanted.unit = &unit_of(symbol, wanted.dimension, {m_source, line, head[i].column});
        }
        if (wanted.unit != nullptr) return;
        const std::string hint = did_you_mean(column.name, names);
        fail({m_source, line, 1}, "",
             fmt::format("no column {} in the head{} Say which it is, as in {}", in_quotes(column.name),
                         hint.empty() ? "." : hint, m_example));
    }

    static const Unit& unit_of(const std::string& symbol, Dimension dimension, const Place& place) {
        try {
            const Unit& found = unit(symbol);
            if (found.dimension == dimension) return found;
        } catch (const std::invalid_argument&) {
            // said below
        }
        fail(place, "", fmt::format("{} is no unit of a {}", in_quotes(symbol), name(dimension)));
    }

    /// A decimal comma as a point, where commas do not part the cells.
    std::string with_point(std::string text) const {
        const std::size_t comma = text.find(',');
        const bool is_decimal = comma != std::string::npos &&
                                text.find_first_of(".,", comma + 1) == std::string::npos &&
                                text.rfind('.', comma) == std::string::npos;
        if (m_separator != ',' && is_decimal) text[comma] = '.';
        return text;
    }

    double number(const Wanted& wanted, const std::vector<Cell>& row, std::size_t line) const {
        const Cell& cell = row.at(wanted.index);
        Findings findings;
        try {
            const double value =
                wanted.column.sign * to_si(parse_number(with_point(cell.text)), *wanted.unit) + 0.0; // no -0
            if (require(findings, wanted.column.name, value, wanted.limits)) return value;
        } catch (const InputError& error) {
            add_error(findings, wanted.column.name, error.what());
        }
        fail({m_source, line, cell.column}, wanted.column.name, findings.front().message);
    }

    std::shared_ptr<const Source> m_source;
    std::string m_example;
    bool m_asked = false;
    char m_separator = ',';
};

/// Whether the rows follow a rod that swings to and fro: neighbours differ by little, and it both gains and
/// loses speed.
bool is_loop(const std::vector<NumberTable::Row>& rows) {
    constexpr std::size_t least = 16;
    if (rows.size() < least) return false;
    double fastest = 0.0;
    double jump = 0.0;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        fastest = std::max(fastest, std::abs(rows[i].values[0]));
        if (i > 0) jump = std::max(jump, std::abs(rows[i].values[0] - rows[i - 1].values[0]));
    }
    constexpr double little = 0.3;
    if (!(jump <= little * fastest)) return false;
    const auto magnitude = [&](std::size_t i) { return std::abs(rows[i].values[0]); };
    bool gains = false;
    bool loses = false;
    for (std::size_t i = 1; i < rows.size(); ++i) {
        gains = gains || magnitude(i) > magnitude(i - 1);
        loses = loses || magnitude(i) < magnitude(i - 1);
    }
    return gains && loses;
}

/// The way of row `i` of a loop, by the speeds beside it.
damper::SpeedTrend way_of(const std::vector<NumberTable::Row>& rows, std::size_t i) {
    const std::size_t before = i > 0 ? i - 1 : i;
    const std::size_t after = std::min(i + 1, rows.size() - 1);
    const bool gains = std::abs(rows[after].values[0]) >= std::abs(rows[before].values[0]);
    return gains ? damper::SpeedTrend::gaining : damper::SpeedTrend::losing;
}

} // namespace

damper::MeasuredRun read_run(const std::string& path, const std::string& columns) {
    const std::map<std::string, Column> given = columns_of(columns, run_columns);
    const bool damping = given.contains("damping");
    if (damping == given.contains("force")) refuse_columns(run_columns, "one of force and damping is needed");
    if (!given.contains("speed")) refuse_columns(run_columns, "speed is needed");
    const Limits speeds{-damper::fastest_rod, damper::fastest_rod, "m/s"};
    const Limits forces{-damper::largest_force, damper::largest_force, "N"};
    NumberTable table(path, run_columns.example, !columns.empty());
    const std::vector<NumberTable::Row> rows =
        table.read({{given.at("speed"), Dimension::speed, "m/s", speeds},
                    {given.at(damping ? "damping" : "force"), Dimension::force, "N", forces}});
    const bool loop = is_loop(rows);
    std::map<std::pair<double, std::optional<damper::SpeedTrend>>, std::pair<double, int>> sums;
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const auto way = loop ? std::optional(way_of(rows, i)) : std::nullopt;
        auto& [force, count] = sums[{rows[i].values[0], way}];
        force += rows[i].values[1];
        ++count;
    }
    damper::MeasuredRun run{damping ? MeasuredForce::damping : MeasuredForce::rod, {}};
    for (const auto& [at, sum] : sums)
        run.points.push_back({at.first, sum.first / sum.second, sum.second, at.second});
    return run;
}

Trace read_trace(const std::string& path, const std::string& columns) {
    const std::map<std::string, Column> given = columns_of(columns, trace_columns);
    for (const char* quantity : {"time", "travel"})
        if (!given.contains(quantity)) refuse_columns(trace_columns, fmt::format("{} is needed", quantity));
    constexpr double longest = 3600.0; // [s]
    constexpr double farthest = 10.0;  // [m]
    NumberTable table(path, trace_columns.example, !columns.empty());
    const std::vector<NumberTable::Row> rows =
        table.read({{given.at("time"), Dimension::time, "s", {-longest, longest, "s"}},
                    {given.at("travel"), Dimension::length, "mm", {-farthest, farthest, "m"}}});
    constexpr std::size_t least = 4;
    table.require_rows(rows, least, "a trace");
    Trace trace;
    for (const NumberTable::Row& row : rows) {
        if (!trace.times.empty() && !(row.values[0] - rows.front().values[0] > trace.times.back()))
            table.refuse(row, 0, "the time does not rise from the line before");
        if (!trace.times.empty()) {
            const double speed = (row.values[1] - trace.travels.back()) /
                                 (row.values[0] - rows.front().values[0] - trace.times.back());
            if (!(std::abs(speed) <= damper::fastest_rod))
                table.refuse(row, 1,
                             fmt::format("the travel is reached from the line before at {:.4g} m/s; a rod "
                                         "speed is no more than {:g} m/s",
                                         std::abs(speed), damper::fastest_rod));
        }
        trace.times.push_back(row.values[0] - rows.front().values[0]);
        trace.travels.push_back(row.values[1]);
    }
    return trace;
}

RoadProfile read_profile(const std::string& path, const std::string& columns) {
    const std::map<std::string, Column> given = columns_of(columns, profile_columns);
    for (const char* quantity : {"distance", "height"})
        if (!given.contains(quantity)) refuse_columns(profile_columns, fmt::format("{} is needed", quantity));
    constexpr double longest = 1e6;                          // [m]
    constexpr double highest = 1000;                         // [m]
    NumberTable table(path, profile_columns.example, false); // what the event says, no option
    const std::vector<NumberTable::Row> rows =
        table.read({{given.at("distance"), Dimension::length, "m", {-longest, longest, "m"}},
                    {given.at("height"), Dimension::length, "mm", {-highest, highest, "m"}}});
    table.require_rows(rows, 2, "a profile");
    RoadProfile profile;
    for (const NumberTable::Row& row : rows) {
        if (!profile.distance.empty() && !(row.values[0] > profile.distance.back()))
            table.refuse(row, 0, "the distance does not rise from the line before");
        profile.distance.push_back(row.values[0]);
        profile.heights.push_back(row.values[1]);
    }
    return profile;
}

} // namespace valve::setup
