#pragma once

#include <valve/setup/document.hpp>
#include <valve/study/evaluation.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::study {

/// The requests that `text` writes: a figure's name, with what it belongs to after "@": "void_onset_rebound",
/// "damping_force@-3 m/s", "support_force@90%", "end_force@1@98%". One that has a speed and names none is
/// asked at each of `speeds` [m/s] that its stroke allows; one that has a part of the travel and names none,
/// near the end; one that has a frequency and names none, at 4 Hz; of a ride the file of its event is named,
/// "peak_travel@landing.yaml", or it is asked over each of `events`. Throws InputError for what is no figure,
/// or has no speed or event left, and as RideEvent::load().
std::vector<FigureRequest> requests_of(std::string_view text, const std::vector<double>& speeds,
                                       const std::vector<RideEvent>& events = {});

/// A set-up that a table has a row of.
struct TableEntry {
    std::string file;
    std::string setting = {}; ///< of a sweep; empty for the file as it is
    std::optional<setup::Document> document = std::nullopt;
    std::string error = {}; ///< why there is no document
};

/// Chosen figures of many set-ups, one row each.
struct FigureTable {
    struct Row {
        std::size_t index = 0; ///< among the set-ups, from 0
        std::string file;
        std::string setting; ///< of the sweep; empty for a file as it is
        std::string title;
        std::vector<Figure> figures = {}; ///< by column
        std::string error = {};           ///< why there are none
        /// By column what the set-up does not say and the figure needs; empty where it says enough.
        std::vector<std::string> lacks = {};
    };

    double top_speed = 0.0; ///< of the search for onsets [m/s]
    std::vector<FigureRequest> columns;
    std::vector<Row> rows = {};
    std::string sweep = {}; ///< what the settings are of

    /// Some row or figure could not be solved.
    bool failed() const;
};

/// Asks every set-up, as many at once as the machine has cores; one that cannot be solved keeps its row and
/// says why, as does one without a document. A hit and a heavy load that are not given are those of the first
/// set-up that has them. Throws InputError for a document that cannot be read, and for a column of which no
/// set-up says what it needs.
FigureTable figure_table(const std::vector<TableEntry>& entries, std::vector<FigureRequest> columns,
                         EvaluateOptions options, damper::LiftCache& lifts);

/// Sorts the rows by the size of a column, the smallest first or the largest. An onset that is not reached
/// counts as beyond the top speed; what is not solved comes last.
void sort(FigureTable& table, std::size_t column, bool largest_first);

} // namespace valve::study
