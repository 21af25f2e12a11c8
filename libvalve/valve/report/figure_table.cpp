#include <valve/report/cut_off.hpp>
#include <valve/report/figure_table.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace valve::report {

namespace {

using study::FigureRequest;
using study::FigureTable;

} // namespace

Json json(const FigureTable& table) {
    Json object;
    object["top_speed_m_s"] = table.top_speed;
    object["sweep"] = table.sweep.empty() ? Json(nullptr) : Json(table.sweep);
    object["cautions"] = cut_off_sentences(table.columns);
    object["columns"] = Json::array();
    for (const FigureRequest& column : table.columns)
        object["columns"].push_back(place(column));
    object["rows"] = Json::array();
    for (const FigureTable::Row& row : table.rows) {
        Json entry;
        entry["name"] = setup_letter(row.index);
        entry["file"] = row.file;
        entry["title"] = row.title;
        entry["setting"] = row.setting.empty() ? Json(nullptr) : Json(row.setting);
        entry["error"] = row.error.empty() ? Json(nullptr) : Json(row.error);
        entry["values"] = Json::array();
        entry["errors"] = Json::array();
        for (std::size_t i = 0; i < row.figures.size(); ++i) {
            const std::string& why = row.lacks.at(i).empty() ? row.figures[i].error : row.lacks[i];
            entry["values"].push_back(or_null(row.figures[i].value));
            entry["errors"].push_back(why.empty() ? Json(nullptr) : Json(why));
        }
        object["rows"].push_back(entry);
    }
    return object;
}

Json points(const FigureTable& table) {
    Json rows = Json::array();
    for (const FigureTable::Row& row : table.rows) {
        Json entry;
        entry["name"] = setup_letter(row.index);
        entry["file"] = row.file;
        if (!table.sweep.empty()) entry["setting"] = row.setting;
        for (std::size_t i = 0; i < table.columns.size(); ++i)
            entry[std::string(study::kind_of(table.columns[i].quantity).key) + places(table.columns[i])] =
                or_null(row.figures.at(i).value);
        rows.push_back(entry);
    }
    return rows;
}

std::string text(const FigureTable& table) {
    std::vector<Table::Column> columns{{"", "", true}};
    std::string legend;
    for (std::size_t i = 0; i < table.columns.size(); ++i) {
        const FigureRequest& column = table.columns[i];
        columns.push_back({std::to_string(i + 1), std::string(unit(column.quantity))});
        legend += fmt::format("  {:>2}  {} ({}{})\n", i + 1, words(column),
                              study::kind_of(column.quantity).name(), places(column));
    }
    if (!table.sweep.empty()) columns.push_back({table.sweep, "", true});
    columns.push_back({"set-up", "", true});
    Table rows(columns);
    for (const FigureTable::Row& row : table.rows) {
        std::vector<std::string> cells{setup_letter(row.index)};
        for (std::size_t i = 0; i < row.figures.size(); ++i)
            cells.push_back(row.lacks.at(i).empty() ? value_cell(row.figures[i]) : "-");
        if (!table.sweep.empty()) cells.push_back(row.setting);
        cells.push_back(row.title.empty() ? row.file : fmt::format("{}: {}", row.file, row.title));
        rows.add(cells);
    }
    std::string out = legend + "\n" + rows.text();
    for (const FigureTable::Row& row : table.rows)
        if (!row.error.empty())
            out += "  " +
                   shown_message(fmt::format("{}: {}", setup_letter(row.index), row.error), page_columns - 2,
                                 "    ") +
                   "\n";
    for (const FigureTable::Row& row : table.rows)
        for (std::size_t i = 0; i < row.lacks.size(); ++i)
            if (!row.lacks[i].empty())
                out += "  " +
                       wrapped(fmt::format("{}, {}: not told (-): {}.", setup_letter(row.index),
                                           words(table.columns[i]), row.lacks[i]),
                               page_columns - 2, "    ") +
                       "\n";
    for (const std::string& cut_off : cut_off_sentences(table.columns))
        out += "  " + wrapped(cut_off, page_columns - 2, "    ") + "\n";
    const bool any_ride = std::any_of(table.columns.begin(), table.columns.end(),
                                      [](const FigureRequest& column) { return bool(column.event); });
    return out +
           fmt::format("\n  \"none\": up to {} m/s{}.\n", metres_a_second(table.top_speed),
                       any_ride ? "; \"-\": that end of the travel, or nothing of the event, is met" : "");
}

} // namespace valve::report
