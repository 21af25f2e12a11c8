#pragma once

#include <valve/report/json.hpp>
#include <valve/study/headline.hpp>

#include <string>
#include <string_view>

namespace valve::report {

/// Which figure is meant: quantity, speed_m_s, travel_share, frequency_Hz, event (its file).
Json place(const study::FigureRequest& figure);

/// [{quantity, speed_m_s, value, error, travel_share, frequency_Hz, event}].
Json json(const study::Headline& headline);

/// Where it is asked, as it can be typed: "@-3", "@1@98%", "@4Hz", "@landing.yaml"; empty where nothing is.
std::string places(const study::FigureRequest& figure);

/// Without its speed: "refill deficit"; "damping force on rebound".
std::string family_words(const study::FigureRequest& figure);

/// "refill deficit at 1 m/s"; "voids on rebound"; "largest travel (Row of stones)".
std::string words(const study::FigureRequest& figure);
inline std::string words(const study::Figure& figure) {
    return words(figure.request());
}

/// "1.20 bar"; "from 1.30 m/s" or "none up to 4 m/s"; "not met".
std::string value_words(const study::Figure& figure, double top_speed);

/// The number as in a table: "1.20"; "none"; "-" of an end of the travel that is not met.
std::string value_cell(const study::Figure& figure);

/// A step of the figure, with its sign: "+62 N".
std::string step_words(study::Quantity quantity, double step);

/// Unit of value_cell(): "bar".
std::string_view unit(study::Quantity quantity);

} // namespace valve::report
