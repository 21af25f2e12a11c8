#pragma once

#include <valve/report/json.hpp>
#include <valve/study/figure_table.hpp>

#include <string>

namespace valve::report {

Json json(const study::FigureTable& table);

/// One row a set-up, one column a figure: "damping_force_N@3".
Json points(const study::FigureTable& table);

/// What each column is, then one line a set-up.
std::string text(const study::FigureTable& table);

} // namespace valve::report
