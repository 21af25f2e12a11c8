#include <valve/core/constants.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::report {

namespace {

constexpr std::size_t between = 2;        // blanks before a column of a table
constexpr std::size_t least_room = 30;    // for words in its last column
constexpr std::size_t widest_block = 100; // of a table, as help has it

std::string without_trailing_zeros(std::string text) {
    if (text.find('.') == std::string::npos) return text;
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text;
}

} // namespace

std::string fixed(double value, int decimals) {
    std::string text = fmt::format("{:.{}f}", value, decimals);
    const bool only_zeros = text.find_first_not_of("-0.") == std::string::npos;
    if (only_zeros && text.front() == '-') text.erase(0, 1);
    return text;
}

std::string newton(double force) {
    return fixed(force, 0);
}
std::string bar(double pressure) {
    return fixed(pressure / 1e5, 2);
}
std::string gauge(double pressure) {
    return bar(pressure - p_atm);
}
std::string mm(double length) {
    return fixed(length * 1e3, 3);
}
std::string trim_mm(double length) {
    return without_trailing_zeros(mm(length));
}
std::string percent(double share) {
    return fixed(share * 100.0, 0);
}

std::string metres_a_second(double speed) {
    return without_trailing_zeros(fixed(speed, 3));
}

std::size_t width(std::string_view text) {
    // Bytes that continue a code point in UTF-8 are 10xxxxxx.
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
}

std::string pad_left(std::string_view text, std::size_t columns) {
    const std::size_t used = width(text);
    return std::string(columns > used ? columns - used : 0, ' ').append(text);
}

std::string pad_right(std::string_view text, std::size_t columns) {
    const std::size_t used = width(text);
    return std::string(text).append(columns > used ? columns - used : 0, ' ');
}

std::string wrapped(std::string_view text, std::size_t columns, std::string_view indent) {
    std::string result;
    std::size_t used = 0;
    while (!text.empty()) {
        const std::string_view word = text.substr(0, text.find_first_of(" \n"));
        text.remove_prefix(std::min(text.size(), word.size() + 1));
        if (word.empty()) continue;
        if (used > 0 && used + 1 + width(word) > columns) {
            result.append("\n").append(indent);
            used = 0;
        } else if (used > 0) {
            result += ' ';
            ++used;
        }
        result += word;
        used += width(word);
    }
    return result;
}

std::string shown_message(std::string_view message, std::size_t columns, std::string_view indent) {
    const std::size_t first = std::min(message.find('\n'), message.size());
    std::string result = wrapped(message.substr(0, first), columns, indent);
    message.remove_prefix(first);
    while (!message.empty()) {
        message.remove_prefix(1); // the end of the line before
        const std::size_t end = std::min(message.find('\n'), message.size());
        result.append("\n").append(indent).append(message.substr(0, end));
        message.remove_prefix(end);
    }
    return result;
}

std::string setup_letter(std::size_t index) {
    constexpr std::size_t letters = 26;
    std::string text;
    for (std::size_t left = index + 1; left > 0; left = (left - 1) / letters)
        text.insert(text.begin(), static_cast<char>('A' + (left - 1) % letters));
    return text;
}

std::string capital(std::string_view text) {
    std::string result(text);
    if (!result.empty() && result.front() >= 'a' && result.front() <= 'z')
        result.front() = static_cast<char>(result.front() - 'a' + 'A');
    return result;
}

std::string listed(const std::vector<std::string>& words) {
    std::string result;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (i > 0) result += i + 1 == words.size() ? " and " : ", ";
        result += words[i];
    }
    return result;
}

Table::Table(std::vector<Column> columns) : m_columns(std::move(columns)) {}

void Table::add(std::vector<std::string> cells) {
    if (cells.size() != m_columns.size())
        throw std::invalid_argument(fmt::format("{} cells for {} columns", cells.size(), m_columns.size()));
    m_rows.push_back(std::move(cells));
}

std::vector<std::size_t> Table::widths() const {
    std::vector<std::size_t> widths;
    for (std::size_t i = 0; i < m_columns.size(); ++i) {
        std::size_t widest = std::max(width(m_columns[i].name), width(m_columns[i].unit));
        for (const std::vector<std::string>& row : m_rows)
            widest = std::max(widest, width(row[i]));
        widths.push_back(widest);
    }
    return widths;
}

std::string Table::text() const {
    const std::vector<std::size_t> widths = this->widths();
    std::vector<std::vector<std::size_t>> blocks(1);
    std::size_t used = 0;
    for (std::size_t i = 0; i < m_columns.size(); ++i) {
        const bool breaks = i + 1 == m_columns.size() && m_columns[i].left;
        const std::size_t needed = between + (breaks ? std::min(widths[i], least_room) : widths[i]);
        if (blocks.back().size() > 1 && used + needed > widest_block) {
            blocks.push_back({0});
            used = between + widths.front();
        }
        blocks.back().push_back(i);
        used += needed;
    }
    std::string result;
    for (const std::vector<std::size_t>& columns : blocks)
        result += (result.empty() ? "" : "\n") + block(columns);
    return result;
}

std::string Table::block(const std::vector<std::size_t>& columns) const {
    const std::vector<std::size_t> widths = this->widths();
    // Words in the last column are broken where the page ends, and go on below themselves.
    const std::size_t last = columns.back();
    std::size_t before = between;
    for (const std::size_t i : columns)
        if (i != last) before += widths[i] + between;
    constexpr std::size_t set_off = 2;
    const bool breaks =
        m_columns[last].left && before + widths[last] > page_columns && before + least_room <= page_columns;
    const auto last_cell = [&](const std::string& words) {
        return width(words) + before <= page_columns
                   ? words
                   : wrapped(words, page_columns - before - set_off, std::string(before + set_off, ' '));
    };

    std::string result;
    const auto line = [&](const auto& cell) {
        std::string built;
        for (const std::size_t i : columns) {
            built += std::string(between, ' ');
            if (breaks && i == last)
                built += last_cell(cell(i));
            else
                built += m_columns[i].left ? pad_right(cell(i), widths[i]) : pad_left(cell(i), widths[i]);
        }
        built.erase(built.find_last_not_of(' ') + 1);
        result += built + "\n";
    };
    line([&](std::size_t i) { return m_columns[i].name; });
    if (std::any_of(m_columns.begin(), m_columns.end(),
                    [](const Column& column) { return !column.unit.empty(); }))
        line([&](std::size_t i) { return m_columns[i].unit; });
    for (const std::vector<std::string>& row : m_rows)
        line([&](std::size_t i) { return row[i]; });
    return result;
}

} // namespace valve::report
