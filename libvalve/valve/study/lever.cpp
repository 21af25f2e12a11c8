#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/units.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/study/adjusters.hpp>
#include <valve/study/lead.hpp>
#include <valve/study/lever.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>

namespace valve::study {

namespace {

using damper::ReservoirKind;
using setup::Document;

/// How a number goes from step to step.
struct Steps {
    double size = 0.0;     ///< of a step, or
    bool by_ratio = false; ///< what a step multiplies it by
    double low = 0.0;      ///< where the number ends [SI]
    double high = 0.0;
    int digits = 3; ///< of a number that goes by ratio
};

/// The number after `steps` of them, to a hundredth of a step: so nobody sets it more finely, nor what
/// another unit left of digits.
double stepped_number(double from, const Steps& by, int steps, std::string_view unit_symbol) {
    if (steps == 0) return from;
    if (!by.by_ratio) {
        const Unit& in = unit(unit_symbol);
        const double step = by.size * in.denominator / in.numerator;
        const int decimals = std::max(0, 2 - static_cast<int>(std::floor(std::log10(step))));
        return rounded_to(from + steps * by.size, decimals, unit_symbol);
    }
    return rounded(from * std::pow(by.size, steps), by.digits, unit_symbol);
}

/// How many steps fit between `from` and the ends.
std::pair<int, int> room(double from, const Steps& by) {
    const auto whole = [](double steps) {
        constexpr double most = 60.0; // beyond, nobody asks for so small a step
        return static_cast<int>(std::clamp(std::floor(steps + 1e-6), 0.0, most)); // to rounding
    };
    if (!by.by_ratio) return {-whole((from - by.low) / by.size), whole((by.high - from) / by.size)};
    if (!(from > 0.0)) return {0, 0};
    const double step = std::log(by.size);
    return {-whole(std::log(from / by.low) / step), whole(std::log(by.high / from) / step)};
}

class Maker {
public:
    explicit Maker(const setup::Reading& reading)
        : m_unit(reading.unit.value()), m_document(written(reading)), m_reading(reading) {}

    std::vector<Lever> all() {
        adjusters_turned();
        springs_and_oil();
        reservoir();
        oil_grade();
        for (const NamedValve& valve : valves_of(m_reading))
            in_valve("valves." + valve.name, *valve.valve);
        friction();
        std::stable_sort(m_levers.begin(), m_levers.end(),
                         [](const Lever& a, const Lever& b) { return a.effort < b.effort; });
        return std::move(m_levers);
    }

private:
    static const Document& written(const setup::Reading& reading) {
        if (!reading.written)
            throw std::invalid_argument("levers: the reading does not know what was written");
        return *reading.written;
    }

    bool says(const std::string& key) const {
        const std::optional<setup::Value> value = m_document.get(key);
        return value && value->is_written;
    }

    /// Steps of the number at `key`, which the file writes [SI]; `following` keys change in proportion.
    void number(Effort effort, const std::string& key, const Steps& by,
                const std::vector<std::string>& following = {}) {
        if (!says(key)) return;
        const std::optional<double> from = m_document.get(key)->number;
        if (!from) return;
        const auto [least, most] = room(*from, by);
        if (least == 0 && most == 0) return;
        std::vector<std::pair<std::string, double>> others;
        for (const std::string& other : following)
            if (says(other)) others.emplace_back(other, m_document.get(other)->number.value());
        std::vector<std::string> also;
        for (const auto& other : others)
            also.push_back(other.first);
        const auto edited = [key, by, others, value = *from](const Document& document, int steps) {
            const double to = stepped_number(value, by, steps, setup::bare_unit(key));
            Document result = document.with(key, to);
            for (const auto& [other, number] : others)
                result = result.with(other, rounded(number * to / value, by.digits, setup::bare_unit(other)));
            return result;
        };
        m_levers.push_back({key, effort, least, most, edited, std::move(also)});
    }

    /// Up to `most` steps either way, while it stays above 0 [SI].
    void around(Effort effort, const std::string& key, double step, int most) {
        if (!says(key) || !m_document.get(key)->number) return;
        const double from = *m_document.get(key)->number;
        number(effort, key, {step, false, std::max(step, from - most * step), from + most * step});
    }

    void adjusters_turned() {
        for (const Adjuster& adjuster : adjusters(m_reading)) {
            const double step = adjuster.steps == "turns" ? 0.25 : 1.0;
            number(Effort::clicks, adjuster.key, {step, false, 0.0, adjuster.range});
        }
    }

    void springs_and_oil() {
        if (!m_unit.support) return;
        if (const auto& leg = m_unit.support->leg) { // what overfills it is refused as it is read
            around(Effort::oil_volume, "support.leg.oil", oil_step, most_oil_steps);
            around(Effort::oil_volume, "support.leg.level.depth", oil_level_step, most_oil_steps);
            leg_pressure(leg->pressure - p_atm);
        }
        if (const auto& spring = m_unit.support->spring) {
            number(Effort::preload, "support.spring.preload",
                   {1e-3, false, 0.0, std::max(20e-3, spring->preload)});
            const double step = spring->rate < 20e3 ? 100.0 : 2000.0;
            number(Effort::spring, "support.spring.rate",
                   {step, false, least_of_spring * spring->rate, most_of_spring * spring->rate},
                   {"support.spring.second.rate"});
        }
    }

    /// Where no coil stands beside it the air is the spring, and goes as far as any gas. `gauge` [Pa].
    void leg_pressure(double gauge) {
        const Steps by = m_unit.support->spring ? Steps{0.05e5, false, 0.0, gauge + most_leg_pressure}
                                                : gas(gauge, gauge < coarse_gas ? 0.05e5 : 0.1e5);
        number(Effort::gas, "support.leg.pressure", by);
    }

    /// From `gauge` [Pa] by `step` [Pa].
    static Steps gas(double gauge, double step) {
        return {step, false, std::max(0.0, least_of_gas * gauge),
                std::max(most_of_gas * gauge, least_most_gas)};
    }

    void reservoir() {
        const damper::Reservoir& reservoir = m_unit.reservoir;
        const double gauge = reservoir.gas_pressure - p_atm;
        number(Effort::gas, "reservoir.gas_pressure", gas(gauge, gauge < coarse_gas ? 0.1e5 : 0.5e5));
        number(Effort::gas, "reservoir.preload",
               {5.0, false, 0.0, std::max(most_of_back_preload * reservoir.preload, 40.0)});
        number(Effort::spring, "reservoir.rate",
               proportion(1.1, reservoir.spring_rate, least_of_spring, most_of_spring));
        number(Effort::parts, "reservoir.friction", proportion(1.25, reservoir.friction, 0.3, 1.0));
        if (reservoir.kind == ReservoirKind::spring_piston && reservoir.friction > 0.0) bladder(reservoir);
    }

    /// Two digits are what a bench can make; a step of 5 % needs the third to be told from the next.
    static Steps proportion(double ratio, double from, double low, double high) {
        return {ratio, true, low * from, high * from, ratio < 1.1 ? 3 : 2};
    }

    /// Down to `least` [SI] at most.
    static Steps no_weaker_than(double least, Steps by) {
        by.low = std::max(by.low, least);
        return by;
    }

    /// A bladder in place of the spring-backed piston, charged to what the spring gave, of the volume that
    /// makes it as stiff when extended: k/A² = n p/V. What goes is the friction of the seal.
    void bladder(const damper::Reservoir& piston) {
        const double area = damper::circle_area(piston.diameter);
        const double pressure = piston.back_pressure + piston.preload / area;
        const double volume = piston.exponent * pressure * area * area / piston.spring_rate;
        if (!std::isfinite(volume)) return;
        const std::string text = fmt::format("{{kind: bladder, gas_volume: {}, gas_pressure: {}}}",
                                             format_quantity(rounded(volume, 3, "ml"), "ml"),
                                             format_quantity(rounded(pressure - p_atm, 3, "bar"), "bar"));
        m_levers.push_back({"reservoir", Effort::parts, 0, 1, [text](const Document& document, int steps) {
                                return steps == 0 ? document : document.with("reservoir", text);
                            }});
    }

    void oil_grade() {
        m_levers.push_back(
            {"oil.viscosity", Effort::oil_grade, -most_grades, most_grades,
             [viscosity = m_unit.oil.viscosity](const Document& document, int steps) {
                 std::string text;
                 for (const auto& [temperature, kinematic] : viscosity)
                     text += fmt::format(
                         "{}{}: {}", text.empty() ? "" : ", ", format_quantity(temperature, "C"),
                         format_quantity(stepped_number(kinematic, {oil_grade_step, true}, steps, "mm2/s"),
                                         "mm2/s"));
                 return document.with("oil.viscosity", "{" + text + "}");
             }});
    }

    void in_valve(const std::string& valve, const flow::Valve& known) {
        const auto& floating = known.stack.floating;
        if (floating && !known.stack.disc) {
            const double step = 0.05e-3;
            const double room_up = lead_float_limit - floating->travel;
            const double room_down = floating->travel - step;
            for (const char* key : {".float.travel", ".float.sleeve"})
                if (const auto value = m_document.get(valve + key); value && value->number)
                    number(Effort::shims, valve + key,
                           {step, false, *value->number - room_down, *value->number + room_up});
        }
        if (floating) {
            number(Effort::shims, valve + ".float.rate",
                   no_weaker_than(least_coil_rate, proportion(1.25, floating->spring_rate, 0.01, 4.0)),
                   {valve + ".float.preload"});
            if (const auto preload = m_document.get(valve + ".float.preload"))
                number(Effort::shims, valve + ".float.preload",
                       no_weaker_than(least_coil_preload,
                                      proportion(1.25, preload->number.value_or(0.0), 0.03, 4.0)));
        }
        for (setup::ShimVariant& variant : setup::shim_variants(m_document, valve)) {
            const auto edited = [key = valve + ".shims", shims = variant.shims](const Document& document,
                                                                                int steps) {
                return steps == 0 ? document : document.with(key, shims);
            };
            m_levers.push_back({valve + ".shims", Effort::shims, 0, 1, edited, {}, std::move(variant)});
        }
        for (const char* key : {".bleed.hole", ".ports.area", ".ports.diameter"})
            if (const auto value = m_document.get(valve + key); value && value->number) {
                const bool is_bleed = key == std::string_view(".bleed.hole"); // a smaller one is a new part
                number(
                    Effort::parts, valve + key,
                    proportion(1.05, *value->number, is_bleed ? 0.5 : 1.0, is_bleed ? 2.0 : most_of_ports));
            }
    }

    void friction() {
        if (m_unit.support)
            number(Effort::parts, "support.friction", proportion(1.25, m_unit.support->friction, 0.4, 1.0),
                   {"support.breakaway"});
    }

    const damper::SetUp& m_unit;
    const Document& m_document;
    const setup::Reading& m_reading;
    std::vector<Lever> m_levers;
};

} // namespace

std::string_view name(Effort effort) {
    constexpr std::array<std::string_view, 8> names{"clicks", "oil volume", "preload", "gas",
                                                    "spring", "oil grade",  "shims",   "parts"};
    return names.at(static_cast<std::size_t>(effort));
}

std::vector<Lever> levers(const setup::Reading& reading) {
    return Maker(reading).all();
}

} // namespace valve::study
