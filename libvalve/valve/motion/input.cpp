#include <valve/core/cubic.hpp>
#include <valve/core/monotone.hpp>
#include <valve/motion/input.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace valve::motion {

namespace {

void require_motion(double middle, double stroke, double how_fast) {
    if (!std::isfinite(middle)) throw std::invalid_argument("Input: the middle must be finite");
    if (!(stroke > 0.0 && how_fast > 0.0) || !std::isfinite(stroke) || !std::isfinite(how_fast))
        throw std::invalid_argument("Input: stroke, frequency and speed must be positive and finite");
}

/// Points at which the times of a trace begin to follow far closer or wider, and both ends. A logger may
/// write nothing while all rests, and thousands of points in a hit.
std::vector<std::size_t> breaks_of(const std::vector<double>& times) {
    constexpr double closer = 0.5;
    constexpr double wider = 8.0; // steps too short cost time alone
    std::vector<std::size_t> breaks{0};
    double usual = times[1] - times[0];
    for (std::size_t i = 1; i + 1 < times.size(); ++i) {
        const double spacing = times[i + 1] - times[i];
        if (spacing >= closer * usual && spacing <= wider * usual) continue;
        breaks.push_back(i);
        usual = spacing;
    }
    breaks.push_back(times.size() - 1);
    return breaks;
}

} // namespace

Input Input::sine(double middle, double stroke, double frequency) {
    require_motion(middle, stroke, frequency);
    Input input;
    input.m_wave = Wave::sine;
    input.m_middle = middle;
    input.m_stroke = stroke;
    input.m_frequency = frequency;
    input.m_peak_speed = std::numbers::pi * stroke * frequency;
    return input;
}

Input Input::triangle(double middle, double stroke, double frequency) {
    Input input = sine(middle, stroke, frequency);
    input.m_wave = Wave::triangle;
    input.m_peak_speed = 2.0 * stroke * frequency;
    return input;
}

Input Input::ramp(double middle, double stroke, double speed) {
    require_motion(middle, stroke, speed);
    Input input = triangle(middle, stroke, speed / (2.0 * stroke));
    input.m_wave = Wave::ramp;
    return input;
}

Input Input::trace(std::vector<double> times, std::vector<double> travels) {
    if (times.size() != travels.size() || times.size() < 2)
        throw std::invalid_argument("Input: a trace needs two points or more, a travel for every time");
    for (std::size_t i = 0; i < times.size(); ++i)
        if (!std::isfinite(times[i]) || !std::isfinite(travels[i]) || (i > 0 && !(times[i] > times[i - 1])))
            throw std::invalid_argument("Input: times of a trace must rise, and all be finite");
    Input input;
    input.m_wave = Wave::trace;
    const double first = times.front();
    for (double& time : times)
        time -= first;
    const auto [least, greatest] = std::minmax_element(travels.begin(), travels.end());
    if (*greatest - *least < least_stroke)
        throw std::invalid_argument(
            fmt::format("Input: the rod of a trace must move, and stands at {:.6g} mm", *least * 1e3));
    input.m_stroke = *greatest - *least;
    input.m_middle = *least + 0.5 * input.m_stroke;
    input.m_speeds = monotone_slopes(times, travels);
    input.m_breaks = breaks_of(times);
    input.m_times = std::move(times);
    input.m_travels = std::move(travels);
    constexpr int between = 8;
    for (std::size_t i = 0; i + 1 < input.m_times.size(); ++i)
        for (int k = 0; k <= between; ++k) {
            const double t = input.m_times[i] + (input.m_times[i + 1] - input.m_times[i]) * k / between;
            input.m_peak_speed = std::max(input.m_peak_speed, std::abs(input.at(0, t).speed));
        }
    return input;
}

std::size_t Input::pieces_in_loop() const {
    return m_wave == Wave::trace ? m_breaks.size() - 1 : 2;
}

double Input::loop_duration() const {
    return m_wave == Wave::trace ? m_times.back() : 1.0 / m_frequency;
}

double Input::longest_step(std::size_t piece) const {
    constexpr double in_a_loop = 60.0;
    double longest = loop_duration() / in_a_loop;
    if (m_wave != Wave::trace) return longest;
    constexpr double in_a_piece = 8.0;
    longest = std::min(longest, (this->piece(piece).end - this->piece(piece).begin) / in_a_piece);
    for (std::size_t i = m_breaks[piece]; i < m_breaks[piece + 1]; ++i)
        longest = std::min(longest, m_times[i + 1] - m_times[i]);
    return longest;
}

std::optional<double> Input::frequency() const {
    return periodic() ? std::optional<double>(m_frequency) : std::nullopt;
}

Input::Piece Input::piece(std::size_t number) const {
    if (m_wave == Wave::trace) return {m_times[m_breaks[number]], m_times[m_breaks[number + 1]]};
    const double duration = loop_duration() / static_cast<double>(pieces_in_loop());
    const auto n = static_cast<double>(number);
    return {n * duration, (n + 1.0) * duration};
}

RodMotion Input::at(std::size_t piece, double t) const {
    const double way = piece % 2 == 0 ? 1.0 : -1.0;
    if (m_wave == Wave::sine) {
        const double omega = 2.0 * std::numbers::pi * m_frequency;
        const double phase = omega * (t - this->piece(piece).begin);
        return {m_middle - way * 0.5 * m_stroke * std::cos(phase),
                way * 0.5 * m_stroke * omega * std::sin(phase)};
    }
    if (m_wave != Wave::trace) {
        const double gone = m_peak_speed * (t - this->piece(piece).begin);
        return {m_middle + way * (gone - 0.5 * m_stroke), way * m_peak_speed};
    }
    const auto above = std::upper_bound(m_times.begin() + 1, m_times.end() - 1, t);
    const auto i = static_cast<std::size_t>(above - m_times.begin()) - 1;
    const double width = m_times[i + 1] - m_times[i];
    const ValueSlope x = hermite(width, (t - m_times[i]) / width, {m_travels[i], m_speeds[i]},
                                 {m_travels[i + 1], m_speeds[i + 1]});
    return {x.value, x.slope};
}

} // namespace valve::motion
