#include <valve/damper/sag.hpp>
#include <valve/damper/support.hpp>
#include <valve/report/figures.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace valve::report {

namespace {

enum class Unit { speed, pressure, force, length, energy };

struct Description {
    Quantity quantity;
    std::string_view key;
    std::string_view words;
    Unit unit;
};

constexpr std::array<Description, 20> descriptions{{
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
    {Quantity::end_force, "end_force_N", "force of the cup", Unit::force},
    {Quantity::static_force, "static_force_N", "static force", Unit::force},
    {Quantity::reservoir_friction, "reservoir_friction_Pa", "reservoir friction", Unit::pressure},
    {Quantity::ports_lead_base_compression, "ports_lead_base_compression_m_s",
     "choked ports of base.compression", Unit::speed},
    {Quantity::ports_lead_piston_compression, "ports_lead_piston_compression_m_s",
     "choked ports of piston.compression", Unit::speed},
    {Quantity::ports_lead_piston_rebound, "ports_lead_piston_rebound_m_s", "choked ports of piston.rebound",
     Unit::speed},
    {Quantity::shims_set_from, "shims_set_from_m_s", "shims that keep a set", Unit::speed},
    {Quantity::shims_life_from, "shims_life_from_m_s", "shims bent beyond endless life", Unit::speed},
    {Quantity::rider_sag, "rider_sag_m", "sag with the rider", Unit::length},
    {Quantity::free_sag, "free_sag_m", "sag without the rider", Unit::length},
    {Quantity::support_force, "support_force_N", "support of springs and gas", Unit::force},
    {Quantity::support_energy, "support_energy_J", "energy to full travel", Unit::energy},
}};

const Description& describe(Quantity quantity) {
    return descriptions.at(static_cast<std::size_t>(quantity));
}

constexpr std::array<double, 4> deficit_speeds{-0.3, -1.0, -2.0, -3.0};
constexpr std::array<double, 3> margin_speeds{1.0, 2.0, 3.0};
constexpr std::array<double, 6> force_speeds{0.1, 1.0, 3.0, -0.1, -1.0, -3.0};
// Where plugs are looked at: rod speed [m/s] and share of the travel.
constexpr std::array<std::pair<double, double>, 3> end_points{{{1.0, 0.98}, {3.0, 0.98}, {-1.0, 0.02}}};
constexpr std::array<double, 4> support_shares{0.1, 0.5, 0.9, 1.0};
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
    case Unit::length:
        return fixed(*figure.value * 1e3, 1);
    case Unit::energy:
        return fixed(*figure.value, 0);
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
    case Unit::length:
        return "mm";
    case Unit::energy:
        return "J";
    }
    return "";
}

double smallest_step(Quantity quantity) {
    switch (describe(quantity).unit) {
    case Unit::speed:
        return 0.01;
    case Unit::pressure:
        return 0.01e5;
    case Unit::force:
        return 1.0;
    case Unit::length:
        return 0.5e-3;
    case Unit::energy:
        return 1.0;
    }
    return 0.0;
}

double noticeable_step(Quantity quantity, double from) {
    constexpr double share = 0.05;
    // Little of the riding is done there.
    if (quantity == Quantity::void_onset_near_extension_rebound ||
        quantity == Quantity::void_onset_near_extension_compression)
        return 0.2;
    switch (describe(quantity).unit) {
    case Unit::speed:
        return 0.1;
    case Unit::pressure:
        return 0.1e5;
    case Unit::force:
        return std::max(10.0, share * std::abs(from));
    case Unit::length:
        return 2e-3;
    case Unit::energy:
        return std::max(5.0, share * std::abs(from));
    }
    return 1.0;
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

void add_end_cups(Headline& headline, const damper::Model& model) {
    for (const auto& [speed, share] : end_points) {
        Figure figure{Quantity::end_force, speed, std::nullopt, "", share};
        try {
            const double travel = share * model.setup().cartridge.travel;
            figure.value = damper::steady_point(model, speed, travel).end_force.value_or(0.0);
        } catch (const SolveError& error) {
            figure.error = error.what();
        }
        headline.figures.push_back(figure);
    }
}

void add_ports(Headline& headline, const std::vector<damper::PortControl>& ports) {
    for (const auto& [quantity, place] :
         {std::pair{Quantity::ports_lead_base_compression, damper::Place::base_compression},
          std::pair{Quantity::ports_lead_piston_compression, damper::Place::piston_compression},
          std::pair{Quantity::ports_lead_piston_rebound, damper::Place::piston_rebound}}) {
        Figure figure{quantity, std::nullopt, std::nullopt, ""};
        for (const damper::PortControl& port : ports) {
            if (port.place != place) continue;
            figure.value = port.from;
            figure.error = port.from ? "" : port.error.value_or("");
        }
        headline.figures.push_back(figure);
    }
}

void add_stress(Headline& headline, const study::StressOnset& onset) {
    headline.figures.push_back({Quantity::shims_set_from, std::nullopt, onset.set, ""});
    headline.figures.push_back({Quantity::shims_life_from, std::nullopt, onset.fatigue, ""});
}

void add_support(Headline& headline, const damper::SetUp& setup, bool with_sag) {
    const damper::SupportLaw law(setup);
    const auto add = [&](Quantity quantity, double value, std::optional<double> share = std::nullopt) {
        headline.figures.push_back({quantity, std::nullopt, value, "", share});
    };
    if (with_sag) {
        if (!setup.support->load) throw InputError("support.load: missing: what the wheel carries");
        const damper::Load& load = *setup.support->load;
        add(Quantity::rider_sag, damper::sag(law, damper::force_of(load, true)).rest.travel);
        add(Quantity::free_sag, damper::sag(law, damper::force_of(load, false)).rest.travel);
    }
    for (const double share : support_shares)
        add(Quantity::support_force, law.at(share * law.travel()).force, share);
    add(Quantity::support_energy, law.at(law.travel()).energy);
}

Json json(const Headline& headline) {
    Json figures = Json::array();
    for (const Figure& figure : headline.figures) {
        Json object;
        object["quantity"] = key(figure.quantity);
        object["speed_m_s"] = or_null(figure.speed);
        object["value"] = or_null(figure.value);
        object["error"] = figure.error.empty() ? Json(nullptr) : Json(figure.error);
        object["travel_share"] = or_null(figure.travel_share);
        figures.push_back(object);
    }
    return figures;
}

std::string family_words(const Figure& figure) {
    std::string text(describe(figure.quantity).words);
    if (figure.quantity == Quantity::damping_force || figure.quantity == Quantity::end_force)
        text += figure.speed.value_or(0.0) < 0.0 ? " on rebound" : " on compression";
    return text;
}

std::string words(const Figure& figure) {
    std::string text = family_words(figure);
    if (figure.speed) text += fmt::format(" at {} m/s", metres_a_second(std::abs(*figure.speed)));
    if (figure.travel_share) text += fmt::format(" at {} % travel", fixed(*figure.travel_share * 100.0, 0));
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
