#include <valve/report/figures.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace valve::report {

namespace {

enum class Unit { speed, pressure, force };

struct Description {
    Quantity quantity;
    std::string_view key;
    std::string_view words;
    Unit unit;
};

constexpr std::array<Description, 10> descriptions{{
    {Quantity::void_onset_rebound, "void_onset_rebound_m_s", "voids on rebound", Unit::speed},
    {Quantity::void_onset_compression, "void_onset_compression_m_s", "voids on compression", Unit::speed},
    {Quantity::void_onset_near_extension_rebound, "void_onset_near_extension_rebound_m_s",
     "voids on rebound near full extension", Unit::speed},
    {Quantity::void_onset_near_extension_compression, "void_onset_near_extension_compression_m_s",
     "voids on compression near full extension", Unit::speed},
    {Quantity::refill_deficit, "refill_deficit_Pa", "refill deficit", Unit::pressure},
    {Quantity::balance_negative_from, "balance_negative_from_m_s", "balance margin below 0", Unit::speed},
    {Quantity::balance_margin, "balance_margin_Pa", "balance margin", Unit::pressure},
    {Quantity::damping_force, "damping_force_N", "damping force", Unit::force},
    {Quantity::static_force, "static_force_N", "static force", Unit::force},
    {Quantity::reservoir_friction, "reservoir_friction_Pa", "reservoir friction", Unit::pressure},
}};

const Description& describe(Quantity quantity) {
    return descriptions.at(static_cast<std::size_t>(quantity));
}

constexpr std::array<double, 4> deficit_speeds{-0.3, -1.0, -2.0, -3.0};
constexpr std::array<double, 3> margin_speeds{1.0, 2.0, 3.0};
constexpr std::array<double, 6> force_speeds{0.1, 1.0, 3.0, -0.1, -1.0, -3.0};
constexpr double scan_step = 0.1; // [m/s]

const damper::SteadyPoint* point_at(const damper::Curve& curve, double speed) {
    const auto found = std::find_if(curve.points.begin(), curve.points.end(),
                                    [&](const auto& point) { return std::abs(point.speed - speed) < 1e-9; });
    return found == curve.points.end() ? nullptr : &*found;
}

/// The figure `value` of the point at `speed`, or why there is none.
template <class Value>
Figure figure_at(const damper::Curve& curve, Quantity quantity, double speed, const Value& value) {
    Figure figure{quantity, speed, std::nullopt, ""};
    const damper::SteadyPoint* point = point_at(curve, speed);
    if (point == nullptr) {
        figure.error = "speed not solved";
    } else if (point->error) {
        figure.error = *point->error;
    } else {
        figure.value = value(*point);
        if (!figure.value || !std::isfinite(*figure.value)) {
            figure.value.reset();
            figure.error = "no finite value";
        }
    }
    return figure;
}

Figure balance_negative_from(const damper::Curve& curve) {
    std::vector<const damper::SteadyPoint*> rising;
    for (const damper::SteadyPoint& point : curve.points)
        if (point.balance_margin) rising.push_back(&point);
    std::sort(rising.begin(), rising.end(), [](const auto* a, const auto* b) { return a->speed < b->speed; });

    Figure figure{Quantity::balance_negative_from, std::nullopt, std::nullopt, ""};
    if (rising.empty()) figure.error = "no point on compression was solved";
    for (std::size_t i = 0; i < rising.size(); ++i) {
        const double margin = *rising[i]->balance_margin;
        if (margin >= 0.0) continue;
        figure.value = rising[i]->speed;
        if (i > 0) {
            const double before = *rising[i - 1]->balance_margin;
            const double part = before / (before - margin);
            figure.value = rising[i - 1]->speed + part * (rising[i]->speed - rising[i - 1]->speed);
        }
        break;
    }
    return figure;
}

std::string number(const Figure& figure) {
    switch (describe(figure.quantity).unit) {
    case Unit::speed:
        return fixed(*figure.value, 2);
    case Unit::pressure:
        return bar(*figure.value);
    case Unit::force:
        return newton(*figure.value);
    }
    return "";
}

} // namespace

std::string_view key(Quantity quantity) {
    return describe(quantity).key;
}

bool is_onset(Quantity quantity) {
    return describe(quantity).unit == Unit::speed;
}

std::string_view unit(Quantity quantity) {
    switch (describe(quantity).unit) {
    case Unit::speed:
        return "m/s";
    case Unit::pressure:
        return "bar";
    case Unit::force:
        return "N";
    }
    return "";
}

bool Headline::failed() const {
    return std::any_of(figures.begin(), figures.end(),
                       [](const Figure& figure) { return !figure.error.empty(); });
}

std::vector<double> headline_speeds(double top_speed) {
    std::vector<double> speeds(deficit_speeds.begin(), deficit_speeds.end());
    speeds.insert(speeds.end(), margin_speeds.begin(), margin_speeds.end());
    speeds.insert(speeds.end(), force_speeds.begin(), force_speeds.end());
    for (int i = 1; i * scan_step <= top_speed + 1e-9; ++i)
        speeds.push_back(i * scan_step);
    std::sort(speeds.begin(), speeds.end());
    speeds.erase(
        std::unique(speeds.begin(), speeds.end(), [](double a, double b) { return std::abs(a - b) < 1e-9; }),
        speeds.end());
    return speeds;
}

Headline headline(const damper::Curve& curve, double top_speed) {
    Headline result{curve.travel, top_speed, curve.theory, {}};
    const auto onset = [&](Quantity quantity, const damper::VoidOnset& search,
                           const std::optional<double>& speed) {
        // Where the search broke off, an onset may lie beyond.
        result.figures.push_back({quantity, std::nullopt, speed, speed ? "" : search.error.value_or("")});
    };
    onset(Quantity::void_onset_rebound, curve.void_onset, curve.void_onset.rebound);
    onset(Quantity::void_onset_compression, curve.void_onset, curve.void_onset.compression);
    onset(Quantity::void_onset_near_extension_rebound, curve.void_onset_near_extension,
          curve.void_onset_near_extension.rebound);
    onset(Quantity::void_onset_near_extension_compression, curve.void_onset_near_extension,
          curve.void_onset_near_extension.compression);
    for (const double speed : deficit_speeds)
        result.figures.push_back(figure_at(curve, Quantity::refill_deficit, speed,
                                           [](const auto& point) { return point.refill_deficit; }));
    result.figures.push_back(balance_negative_from(curve));
    for (const double speed : margin_speeds)
        result.figures.push_back(figure_at(curve, Quantity::balance_margin, speed,
                                           [](const auto& point) { return point.balance_margin; }));
    for (const double speed : force_speeds)
        result.figures.push_back(figure_at(curve, Quantity::damping_force, speed, [](const auto& point) {
            return std::optional<double>(point.damping_force);
        }));
    for (const Quantity quantity : {Quantity::static_force, Quantity::reservoir_friction}) {
        Figure figure = figure_at(curve, quantity, 1.0, [quantity](const auto& point) {
            return std::optional<double>(quantity == Quantity::static_force ? point.static_force
                                                                            : point.reservoir_friction);
        });
        figure.speed.reset();
        result.figures.push_back(figure);
    }
    return result;
}

Json json(const Headline& headline) {
    Json figures = Json::array();
    for (const Figure& figure : headline.figures) {
        Json object;
        object["quantity"] = key(figure.quantity);
        object["speed_m_s"] = or_null(figure.speed);
        object["value"] = or_null(figure.value);
        object["error"] = figure.error.empty() ? Json(nullptr) : Json(figure.error);
        figures.push_back(object);
    }
    return figures;
}

std::string family_words(const Figure& figure) {
    std::string text(describe(figure.quantity).words);
    if (figure.quantity == Quantity::damping_force)
        text += figure.speed.value_or(0.0) < 0.0 ? " on rebound" : " on compression";
    return text;
}

std::string words(const Figure& figure) {
    std::string text = family_words(figure);
    if (figure.speed) text += fmt::format(" at {} m/s", metres_a_second(std::abs(*figure.speed)));
    return text;
}

std::string value_words(const Figure& figure, double top_speed) {
    if (!figure.error.empty()) return "not solved";
    if (!figure.value) return fmt::format("none up to {} m/s", metres_a_second(top_speed));
    const std::string text = fmt::format("{} {}", number(figure), unit(figure.quantity));
    return is_onset(figure.quantity) ? "from " + text : text;
}

std::string value_cell(const Figure& figure) {
    if (!figure.error.empty()) return "unsolved";
    return figure.value ? number(figure) : "none";
}

} // namespace valve::report
