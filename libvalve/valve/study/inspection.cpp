#include <valve/study/counts_in.hpp>
#include <valve/study/inspection.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <optional>
#include <utility>

namespace valve::study {

namespace {

/// Parts without which a unit works, and differently: what is not there must not pass unseen.
std::vector<setup::DefaultUsed> absent_parts(const setup::Reading& reading) {
    std::vector<setup::DefaultUsed> absent;
    const auto note = [&](bool is_there, const std::string& key) {
        if (!is_there) absent.push_back({key, "none"});
    };
    if (reading.unit) note(reading.unit->cartridge.ring_leak.has_value(), "damper.ring_leak");
    for (const auto& [name, valve] : valves_of(reading))
        note(valve->bleed.has_value(), (reading.unit ? "valves." + name : name) + ".bleed");
    if (reading.unit) {
        const std::optional<damper::Support>& support = reading.unit->support;
        note(support.has_value(), "support");
        if (support) note(support->stop.has_value(), "support.stop");
        if (support) note(support->top_out.has_value(), "support.top_out");
    }
    return absent;
}

} // namespace

Inspection inspection(std::string file, setup::Reading reading, damper::LiftCache& lifts) {
    std::vector<Warning> warnings = stress_warnings(reading, lifts);
    std::vector<Unevenness> not_round;
    if (lifts.follows_bending()) not_round = unevenness(reading, lifts);
    std::vector<setup::DefaultUsed> absent = absent_parts(reading);
    std::vector<std::string> unused;
    if (reading.unit) unused.assign(keys_in_time().begin(), keys_in_time().end());
    return {std::move(file),      std::move(reading), std::move(warnings),
            std::move(not_round), std::move(absent),  std::move(unused)};
}

} // namespace valve::study
