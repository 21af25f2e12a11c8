#include <valve/damper/geometry.hpp>
#include <valve/damper/sag.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/support.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace valve::study {

namespace {

/// Round steps over the whole travel, its end included; and where a spring begins or ends, with a travel just
/// before, so that a line through the points has its corners and its jumps of rate there.
std::vector<double> told_travels(const damper::SupportLaw& law) {
    constexpr std::array<double, 8> steps{1e-3, 2e-3, 5e-3, 10e-3, 20e-3, 50e-3, 100e-3, 200e-3};
    constexpr double most_rows = 20.0;
    constexpr double just_before = 0.1e-3;
    const double whole = law.travel();
    double step = steps.back();
    for (auto candidate = steps.rbegin(); candidate != steps.rend(); ++candidate)
        if (whole / *candidate <= most_rows) step = *candidate;
    std::vector<double> travels;
    const int rows = static_cast<int>(std::ceil(whole / step - 1e-9));
    for (int i = 0; i < rows; ++i)
        travels.push_back(i * step);
    travels.push_back(whole);
    for (const double kink : law.kinks())
        if (kink > just_before && kink < whole) travels.insert(travels.end(), {kink - just_before, kink});
    std::sort(travels.begin(), travels.end());
    const auto alike = [](double a, double b) { return b - a < 1e-9; };
    travels.erase(std::unique(travels.begin(), travels.end(), alike), travels.end());
    return travels;
}

bool is_rear(const SupportResult& result) {
    return result.support().load && !result.support().load->rake;
}

bool has_rake(const SupportResult& result) {
    return result.support().load && result.support().load->rake;
}

} // namespace

SupportResult support_result(std::string file, setup::Reading reading, const SupportOptions& options) {
    const damper::SetUp& unit = unit_of(file, reading);
    if (!unit.support)
        throw InputError(
            fmt::format("{}: support: missing: the springs, leg air and friction of the vehicle", file));
    damper::SupportLaw law(unit);
    SupportResult result{.file = std::move(file), .reading = std::move(reading), .law = law};
    const double whole = law.travel();
    for (const double travel : options.travels.empty() ? told_travels(law) : options.travels)
        result.points.push_back(law.at(travel));
    result.start = law.at(0.0);
    result.end = law.at(whole);
    result.half_energy = travel_used(law, 0.5 * result.end.energy, 0.0);
    result.unloaded = position_under(law, 0.0);
    const double rod = damper::rod_area(result.reading.unit->cartridge);
    result.rod_start = rod * (result.start.p_S - p_atm + law.reservoir_friction_pressure());
    result.hit_is_stated = options.hit.has_value();
    set_hit(result, options.hit.value_or(usual_hit * result.end.energy));
    if (const std::optional<damper::Load>& load = result.support().load) {
        result.sag = sag(law, *load, true);
        result.free_sag = sag(law, *load, false);
        result.frequency = ride_frequency(law, *load);
    }
    return result;
}

void set_hit(SupportResult& result, double energy) {
    result.hit = energy;
    result.hit_used = travel_used(result.law, energy, result.law.friction());
    result.hit_unrubbed = travel_used(result.law, energy, 0.0);
}

bool are_two_ends(const std::vector<SupportResult>& results) {
    return results.size() == 2 &&
           ((is_rear(results[0]) && has_rake(results[1])) || (has_rake(results[0]) && is_rear(results[1])));
}

void align(std::vector<SupportResult>& results) {
    if (are_two_ends(results)) return;
    const SupportResult& first = results.front();
    for (SupportResult& result : results) {
        if ((is_rear(first) && has_rake(result)) || (has_rake(first) && is_rear(result)))
            throw InputError(
                fmt::format("{} and {} are a fork and a shock: give set-ups of one end, or one of "
                            "each",
                            first.file, result.file));
        if (first.support().legs != result.support().legs)
            throw InputError(fmt::format("support.legs: {} has {}, {} has {}", first.file,
                                         first.support().legs, result.file, result.support().legs));
        set_hit(result, first.hit);
    }
}

Ride ride_of(const std::vector<SupportResult>& ends) {
    const std::size_t rear = is_rear(ends[0]) ? 0 : 1;
    Ride ride{ends[1 - rear].frequency, ends[rear].frequency, std::nullopt};
    if (ride.front && ride.rear) ride.ratio = *ride.front / *ride.rear;
    return ride;
}

} // namespace valve::study
