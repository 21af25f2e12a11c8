#pragma once

#include <valve/report/json.hpp>
#include <valve/study/headline.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// Which figure is meant: quantity, speed_m_s, travel_share, frequency_Hz, event (its file).
Json place(const study::FigureRequest& figure);

/// [{quantity, speed_m_s, value, error, travel_share, frequency_Hz, event, but_for_dips_m, swings,
/// reversals, not_back, energy_left_J}].
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

/// "1.20 bar"; "from 1.30 m/s" or "none up to 4 m/s"; "not met"; "1.97 mm (0.38 but for a dip)".
std::string value_words(const study::Figure& figure, double top_speed);

/// " (0.38 but for a dip)" of dead travel that hangs on one [m]; else empty.
std::string dip_words(const std::optional<double>& but_for_dips);

/// " (not back at 2 of 5 reversals)" of dead travel over a ride; empty where the damping comes back at all.
std::string back_words(const study::Reversals& reversals);

/// What a dip means, to be told once where it is said.
inline constexpr std::string_view caution_of_dips = "But for a dip: the force was back before, and dips "
                                                    "below 90 % once more. A dip a little smaller leaves far "
                                                    "less dead travel, so that such a figure jumps between "
                                                    "neighbouring settings: a difference that comes of it "
                                                    "is no reason for a change.";

/// That valves swing over the events that `figures` are asked over, each event once: "Over Ledge valves swing
/// by themselves, …."
std::vector<std::string> swing_sentences(const std::vector<study::Figure>& figures);

/// The number as in a table: "1.20"; "none"; "-" of an end of the travel that is not met; "9.18, 2 not back".
std::string value_cell(const study::Figure& figure);

/// A step of the figure, with its sign: "+62 N".
std::string step_words(study::Quantity quantity, double step);

/// Unit of value_cell(): "bar".
std::string_view unit(study::Quantity quantity);

} // namespace valve::report
