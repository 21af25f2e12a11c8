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
#include <map>
#include <memory>
#include <stdexcept>
#include <string_view>
#include <utility>

namespace valve::setup {
namespace {

using damper::MeasuredForce;

/// "load [lbf]" taken apart.
struct Named {
    std::string name;
    std::string unit; ///< empty where none is given
};

/// One entry of the mapping.
struct Column {
    std::string name; ///< in the head
    std::string unit;
    double sign = 1.0;
};

/// What is wanted of a table.
struct Mapping {
    Column speed;
    Column force;
    MeasuredForce kind = MeasuredForce::rod;
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

[[noreturn]] void refuse_mapping(std::string_view why) {
    throw InputError(fmt::format("columns: {}; expected e.g. speed=velocity[in/s],force=-load[lbf]", why));
}

Mapping mapping(const std::string& text) {
    std::map<std::string, Column> given;
    for (const std::string& entry : split(text.empty() ? "speed=speed,force=force" : text, ',')) {
        const std::size_t equals = entry.find('=');
        const std::string what(trimmed(entry.substr(0, equals)));
        if (equals == std::string::npos || (what != "speed" && what != "force" && what != "damping"))
            refuse_mapping(
                fmt::format("{} does not begin with speed=, force= or damping=", in_quotes(entry)));
        std::string_view source = trimmed(std::string_view(entry).substr(equals + 1));
        Column column;
        if (source.starts_with('-')) {
            column.sign = -1.0;
            source = trimmed(source.substr(1));
        }
        Named parts = named(source);
        if (parts.name.empty()) refuse_mapping(fmt::format("{} names no column", in_quotes(entry)));
        column.name = std::move(parts.name);
        column.unit = std::move(parts.unit);
        if (!given.emplace(what, column).second) refuse_mapping(fmt::format("{} is said twice", what));
    }
    const bool damping = given.contains("damping");
    if (damping == given.contains("force")) refuse_mapping("one of force and damping is needed");
    if (!given.contains("speed")) refuse_mapping("speed is needed");
    return {given["speed"], given[damping ? "damping" : "force"],
            damping ? MeasuredForce::damping : MeasuredForce::rod};
}

/// A table with its places.
class RunTable {
public:
    RunTable(const std::string& path, std::string text)
        : m_source(std::make_shared<const Source>(Source{path, std::move(text)})) {}

    damper::MeasuredRun read(const Mapping& mapping) {
        std::map<double, std::pair<double, int>> sums; // by speed: of forces, and their count
        Wanted speed{mapping.speed, {-damper::fastest_rod, damper::fastest_rod, "m/s"}};
        Wanted force{mapping.force, {-damper::largest_force, damper::largest_force, "N"}};
        std::size_t head_cells = 0;
        std::size_t line = 0;
        for (const std::string& row : split(m_source->text, '\n')) {
            ++line;
            if (trimmed(row).empty() || trimmed(row).starts_with('#')) continue;
            if (head_cells == 0) {
                m_separator = separator_of(row);
                const std::vector<Cell> head = cells(row);
                head_cells = head.size();
                find(speed, head, line, Dimension::speed);
                find(force, head, line, Dimension::force);
                continue;
            }
            const std::vector<Cell> values = cells(row);
            if (values.size() != head_cells)
                fail({m_source, line, 1}, "",
                     fmt::format("this line has {} cells, the head {}{}", values.size(), head_cells,
                                 m_separator == ',' ? ": are these decimal commas? Use points" : ""));
            std::pair<double, int>& sum = sums[number(speed, values, line)];
            sum.first += number(force, values, line);
            ++sum.second;
        }
        if (sums.empty()) fail({m_source, std::max<std::size_t>(line, 1), 1}, "", "no line with numbers");
        damper::MeasuredRun run{mapping.kind, {}};
        for (const auto& [at, sum] : sums)
            run.points.push_back({at, sum.first / sum.second, sum.second});
        return run;
    }

private:
    struct Wanted {
        const Column& column;
        Limits limits;
        std::size_t index = 0;
        const Unit* unit = nullptr;
    };

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

    void find(Wanted& wanted, const std::vector<Cell>& head, std::size_t line, Dimension dimension) const {
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
                                 in_quotes(column.name), column.name,
                                 dimension == Dimension::speed ? "m/s" : "N"));
            wanted.index = i;
            wanted.unit = &unit_of(symbol, dimension, {m_source, line, head[i].column});
        }
        if (wanted.unit != nullptr) return;
        const std::string hint = did_you_mean(column.name, names);
        fail({m_source, line, 1}, "",
             fmt::format("no column {} in the head{} Say which it is, as in "
                         "speed=velocity[in/s],force=-load[lbf]",
                         in_quotes(column.name), hint.empty() ? "." : hint));
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
    char m_separator = ',';
};

} // namespace

damper::MeasuredRun read_run(const std::string& path, const std::string& columns) {
    const Mapping wanted = mapping(columns);
    FileText file = read_file(path);
    if (!file.fault.empty()) throw InputError(fmt::format("{}: error: cannot be read: {}", path, file.fault));
    return RunTable(path, std::move(file.text)).read(wanted);
}

} // namespace valve::setup
