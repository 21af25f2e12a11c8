#include <valve/report/figure_words.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::report {

namespace {

std::string number(study::Quantity quantity, double value) {
    const study::Scale& scale = study::scale(study::kind_of(quantity).measure);
    return fixed(value / scale.in_si, scale.digits);
}

Json event_json(const study::RideEvent& event) {
    return event ? Json(event->file) : Json(nullptr);
}

} // namespace

std::string_view unit(study::Quantity quantity) {
    return study::scale(study::kind_of(quantity).measure).unit;
}

Json place(const study::FigureRequest& figure) {
    Json object;
    object["quantity"] = study::kind_of(figure.quantity).key;
    object["speed_m_s"] = or_null(figure.speed);
    object["travel_share"] = or_null(figure.travel_share);
    object["frequency_Hz"] = or_null(figure.frequency);
    object["event"] = event_json(figure.event);
    return object;
}

std::string places(const study::FigureRequest& figure) {
    std::string text;
    if (figure.speed) text += "@" + metres_a_second(*figure.speed);
    if (figure.travel_share) text += fmt::format("@{:g}%", *figure.travel_share * 100.0);
    if (figure.frequency) text += fmt::format("@{:g}Hz", *figure.frequency);
    if (figure.event) text += "@" + figure.event->file;
    return text;
}

Json json(const study::Headline& headline) {
    Json figures = Json::array();
    for (const study::Figure& figure : headline.figures) {
        Json object;
        object["quantity"] = study::kind_of(figure.quantity).key;
        object["speed_m_s"] = or_null(figure.speed);
        object["value"] = or_null(figure.value);
        object["error"] = figure.error.empty() ? Json(nullptr) : Json(figure.error);
        object["travel_share"] = or_null(figure.travel_share);
        object["frequency_Hz"] = or_null(figure.frequency);
        object["event"] = event_json(figure.event);
        object["but_for_dips_m"] = or_null(figure.but_for_dips);
        object["swings"] = figure.swings;
        const bool any = figure.reversals.count > 0;
        object["reversals"] = any ? Json(figure.reversals.count) : Json(nullptr);
        object["not_back"] = any ? Json(figure.reversals.not_back) : Json(nullptr);
        object["energy_left_J"] = or_null(figure.energy_left);
        figures.push_back(object);
    }
    return figures;
}

std::string family_words(const study::FigureRequest& figure) {
    const study::FigureKind& kind = study::kind_of(figure.quantity);
    std::string text(kind.words);
    if (figure.speed && kind.way == study::Way::both)
        text += *figure.speed < 0.0 ? " on rebound" : " on compression";
    return text;
}

std::string words(const study::FigureRequest& figure) {
    std::string text = family_words(figure);
    if (figure.speed) text += fmt::format(" at {} m/s", metres_a_second(std::abs(*figure.speed)));
    if (figure.travel_share) text += fmt::format(" at {} % travel", fixed(*figure.travel_share * 100.0, 0));
    if (figure.frequency) text += fmt::format(" at {:g} Hz", *figure.frequency);
    if (figure.event) text += fmt::format(" ({})", figure.event->event.title);
    return text;
}

std::string value_words(const study::Figure& figure, double top_speed) {
    if (!figure.error.empty()) return "not solved";
    const std::string_view if_none = study::kind_of(figure.quantity).if_none;
    if (!figure.value && !if_none.empty()) return std::string(if_none) + back_words(figure.reversals);
    if (!figure.value) return fmt::format("none up to {} m/s", metres_a_second(top_speed));
    const bool is_onset = study::kind_of(figure.quantity).is_onset;
    const bool is_none = *figure.value == 0.0 || number(figure.quantity, *figure.value) == "0.00";
    if (is_onset && is_none) return "from the first movement";
    const std::string text =
        fmt::format("{} {}", number(figure.quantity, *figure.value), unit(figure.quantity));
    return (is_onset ? "from " + text : text) + dip_words(figure.but_for_dips) + back_words(figure.reversals);
}

std::string back_words(const study::Reversals& reversals) {
    if (reversals.not_back == 0) return "";
    return fmt::format(" (not back at {} of {} reversal{})", reversals.not_back, reversals.count,
                       reversals.count == 1 ? "" : "s");
}

std::string dip_words(const std::optional<double>& but_for_dips) {
    return but_for_dips ? fmt::format(" ({} but for a dip)", fixed(*but_for_dips * 1e3, 2)) : "";
}

std::vector<std::string> swing_sentences(const std::vector<study::Figure>& figures) {
    std::vector<std::string> list;
    std::vector<study::RideEvent> told;
    for (const study::Figure& figure : figures) {
        if (!figure.event || !figure.swings) continue;
        if (std::find(told.begin(), told.end(), figure.event) != told.end()) continue;
        told.push_back(figure.event);
        const std::string& title = figure.event->event.title;
        list.push_back(
            fmt::format("Over {} valves swing by themselves, so that forces there lie far above the "
                        "steady ones; the ride itself names them.",
                        title.empty() ? figure.event->file : title));
    }
    return list;
}

std::string value_cell(const study::Figure& figure) {
    if (!figure.error.empty()) return "unsolved";
    const std::string back =
        figure.reversals.not_back > 0 ? fmt::format(", {} not back", figure.reversals.not_back) : "";
    if (figure.value) return number(figure.quantity, *figure.value) + back;
    return study::kind_of(figure.quantity).if_none.empty() ? "none" : "-" + back;
}

std::string step_words(study::Quantity quantity, double step) {
    const std::string text = number(quantity, step);
    return fmt::format("{}{} {}", text.front() == '-' ? "" : "+", text, unit(quantity));
}

} // namespace valve::report
