#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// `value` with a fixed number of decimals; never "-0".
std::string fixed(double value, int decimals);

/// Width of a page of text.
inline constexpr std::size_t page_columns = 98;

// Trade units, with the digits a workshop can use. The unit itself stands in the head of the table.
std::string newton(double force);          ///< from [N]: "234"
std::string bar(double pressure);          ///< from [Pa]: "1.23"
std::string gauge(double pressure);        ///< from absolute [Pa], bar above the atmosphere
std::string mm(double length);             ///< from [m]: "0.150"
std::string trim_mm(double length);        ///< from [m], no trailing zeros: "21", "12.5"
std::string metres_a_second(double speed); ///< from [m/s]: "0.02", "-3"
std::string percent(double share);         ///< whole ones: "38"

/// Columns a terminal gives to `text`: its code points.
std::size_t width(std::string_view text);

std::string pad_left(std::string_view text, std::size_t columns);
std::string pad_right(std::string_view text, std::size_t columns);

/// `text` broken at blanks into lines of at most `columns`, each line after the first set off by `indent`,
/// which does not count. Line ends in `text` are blanks.
std::string wrapped(std::string_view text, std::size_t columns, std::string_view indent);

/// A message of a fault, its first line broken as wrapped() does; those that show a file's line and a mark
/// below it stand as they are, each behind `indent`.
std::string shown_message(std::string_view message, std::size_t columns, std::string_view indent);

/// The letters of a set-up among several, each its own: "A" … "Z", "AA" ….
std::string setup_letter(std::size_t index);

/// `text` with a capital, if it begins with a letter of ASCII.
std::string capital(std::string_view text);

/// "a, b and c"; empty for none.
std::string listed(const std::vector<std::string>& words);

/// Rows under a head of two lines, name and unit; of one where no column has a unit. Words in the last column
/// are broken at the end of a page, where the others leave them room. A table wider than a page goes on in
/// blocks below each other, each of which begins with the first column.
class Table {
public:
    struct Column {
        std::string name;
        std::string unit;
        bool left = false; ///< words rather than numbers
    };

    explicit Table(std::vector<Column> columns);

    /// Throws std::invalid_argument unless there is one cell a column.
    void add(std::vector<std::string> cells);

    std::string text() const;

private:
    std::vector<std::size_t> widths() const;
    std::string block(const std::vector<std::size_t>& columns) const;

    std::vector<Column> m_columns;
    std::vector<std::vector<std::string>> m_rows;
};

} // namespace valve::report
