#include <valve/core/constants.hpp>
#include <valve/report/magnitude.hpp>

#include <algorithm>
#include <array>

namespace valve::report {

namespace {

constexpr double inch = 0.0254;                 // by definition [m]
constexpr double pound_force = 4.4482216152605; // 0.45359237 kg · 9.80665 m/s² [N]
constexpr double psi = pound_force / (inch * inch);
constexpr double foot_pound = pound_force * 12.0 * inch;

constexpr std::array all{
    MagnitudeUnits{
        Magnitude::speed, "speed", "speed", {"m/s", 1.0, 0.0, 3}, {"in/s", 1.0 / inch, 0.0, 2}, true},
    MagnitudeUnits{
        Magnitude::force, "force", "force", {"N", 1.0, 0.0, 1}, {"lbf", 1.0 / pound_force, 0.0, 2}},
    MagnitudeUnits{
        Magnitude::pressure, "pressure", "pressure", {"bar", 1e-5, 0.0, 3}, {"psi", 1.0 / psi, 0.0, 2}},
    MagnitudeUnits{Magnitude::gauge,
                   "gauge",
                   "pressure",
                   {"bar gauge", 1e-5, -p_atm * 1e-5, 3},
                   {"psi gauge", 1.0 / psi, -p_atm / psi, 2}},
    MagnitudeUnits{
        Magnitude::length, "length", "length", {"mm", 1e3, 0.0, 3}, {"in", 1.0 / inch, 0.0, 4}, true},
    MagnitudeUnits{
        Magnitude::rate, "rate", "force", {"N/mm", 1e-3, 0.0, 2}, {"lbf/in", inch / pound_force, 0.0, 2}},
    MagnitudeUnits{
        Magnitude::energy, "energy", "force", {"J", 1.0, 0.0, 1}, {"ft·lbf", 1.0 / foot_pound, 0.0, 1}},
    MagnitudeUnits{Magnitude::volume,
                   "volume",
                   "length",
                   {"ml", 1e6, 0.0, 2},
                   {"in³", 1.0 / (inch * inch * inch), 0.0, 4}},
    MagnitudeUnits{Magnitude::flow,
                   "flow",
                   "length",
                   {"ml/s", 1e6, 0.0, 2},
                   {"in³/s", 1.0 / (inch * inch * inch), 0.0, 3}},
    MagnitudeUnits{
        Magnitude::area, "area", "length", {"mm²", 1e6, 0.0, 2}, {"in²", 1.0 / (inch * inch), 0.0, 5}, true},
    MagnitudeUnits{
        Magnitude::stress, "stress", "pressure", {"MPa", 1e-6, 0.0, 0}, {"ksi", 1e-3 / psi, 0.0, 1}},
    MagnitudeUnits{Magnitude::temperature,
                   "temperature",
                   "temperature",
                   {"°C", 1.0, -273.15, 1},
                   {"°F", 1.8, -459.67, 1},
                   true},
    MagnitudeUnits{
        Magnitude::viscosity, "viscosity", "", {"mm²/s", 1e6, 0.0, 2}, {"mm²/s", 1e6, 0.0, 2}, true},
    MagnitudeUnits{Magnitude::frequency, "frequency", "", {"Hz", 1.0, 0.0, 2}, {"Hz", 1.0, 0.0, 2}},
    MagnitudeUnits{Magnitude::acceleration,
                   "acceleration",
                   "length",
                   {"m/s²", 1.0, 0.0, 2},
                   {"ft/s²", 1.0 / (12.0 * inch), 0.0, 1}},
    MagnitudeUnits{Magnitude::warming, "warming", "temperature", {"K", 1.0, 0.0, 2}, {"°F", 1.8, 0.0, 2}},
    MagnitudeUnits{Magnitude::time, "time", "", {"s", 1.0, 0.0, 3}, {"s", 1.0, 0.0, 3}},
    MagnitudeUnits{
        Magnitude::distance, "distance", "length", {"m", 1.0, 0.0, 2}, {"ft", 1.0 / (12.0 * inch), 0.0, 1}},
    MagnitudeUnits{Magnitude::share, "share", "", {"%", 100.0, 0.0, 1}, {"%", 100.0, 0.0, 1}},
    MagnitudeUnits{Magnitude::count, "count", "", {"", 1.0, 0.0, 2}, {"", 1.0, 0.0, 2}, true},
    MagnitudeUnits{Magnitude::noticed, "noticed", "", {"steps", 1.0, 0.0, 2}, {"steps", 1.0, 0.0, 2}},
    MagnitudeUnits{Magnitude::words, "words", "", {}, {}},
};

} // namespace

std::span<const MagnitudeUnits> magnitudes() {
    return all;
}

const MagnitudeUnits& units_of(Magnitude measure) {
    return *std::find_if(all.begin(), all.end(),
                         [&](const MagnitudeUnits& one) { return one.measure == measure; });
}

} // namespace valve::report
