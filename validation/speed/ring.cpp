#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <speed/stacks.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation::speed {
namespace {

constexpr double mm = 1e-3; // [m]
constexpr double bar = 1e5; // [Pa]
constexpr int repeats = 5;

/// Stacks of the usual kinds; `times`: of the pressure that buckles them, how far they are followed.
struct Kind {
    const char* name;
    stack::Stack stack;
    double times = 2.5;
};

stack::Stack bare(const std::vector<std::pair<double, double>>& shims, int windows = 0,
                  double coverage = 1.0) {
    stack::Stack stack = bare_stack();
    for (const auto& [radius, thickness] : shims)
        stack.shims.push_back({radius * mm, thickness * mm, {}});
    stack.windows = windows;
    stack.coverage = coverage;
    return stack;
}

stack::Stack two_stages() {
    return bare({{15.0, 0.2}, {10.0, 0.1}, {14.5, 0.2}, {12.0, 0.2}});
}

std::vector<Kind> kinds() {
    return {{"one shim", bare({{15.0, 0.2}})},
            {"five shims", bare({{15.0, 0.15}, {14.5, 0.15}, {13.0, 0.15}, {11.5, 0.15}, {10.0, 0.15}})},
            {"two stages", two_stages()},
            {"twelve shims in two stages", twelve_shims()},
            {"two shims over four windows of 0.8", bare({{15.0, 0.2}, {13.0, 0.2}}, 4, 0.8)}};
}

/// The flow law with every state that it stands on, up to its end.
void follow_law(const stack::Solution& solution, double begin) {
    for (double pressure = begin; std::isfinite(pressure); pressure = solution.uneven_next(pressure)) {
        const double next = solution.uneven_next(pressure);
        if (std::isfinite(next)) solution.uneven_law(0.5 * (pressure + next));
    }
}

void add_cost(Section& section, const Kind& kind) {
    const bool waves = kind.stack.windows < 1;
    double end = 8.0 * bar;
    if (waves) {
        const auto buckled =
            stack::Solution(kind.stack, {.max_pressure = 40.0 * bar}).waves_up_to(40.0 * bar);
        if (!buckled) throw std::runtime_error(fmt::format("{}: stays round", kind.name));
        end = kind.times * buckled->pressure;
    }
    const stack::FollowOptions options{.max_pressure = end};
    std::vector<double> round_times, bent_times, before_times;
    for (int repeat = 0; repeat < repeats; ++repeat) {
        const stack::Solution solution(kind.stack, options);
        round_times.push_back(time_of([&] { solution.law(); }));
        std::optional<double> begin;
        const double to_begin = time_of([&] { begin = solution.uneven_from(end); });
        if (!begin) throw std::runtime_error(fmt::format("{}: no shape that is not round", kind.name));
        bent_times.push_back(to_begin + time_of([&] { follow_law(solution, *begin); }));
        if (!waves) continue;
        const double before = 0.99 * solution.waves_up_to(end)->pressure;
        const stack::Solution stays_round(kind.stack, {.max_pressure = before});
        const double round = time_of([&] { stays_round.law(); });
        before_times.push_back(time_of([&] { stays_round.uneven_from(before); }) / round);
    }
    const double round = median(round_times);
    section.rows.push_back({fmt::format("{}: as it bends, beside round", kind.name),
                            1.0 + median(bent_times) / round, Row::Goal::at_most, 20.0});
    if (waves)
        section.rows.push_back(
            {fmt::format("{}: the same up to where it buckles", kind.name), 1.0 + median(before_times)});
    section.notes.push_back(fmt::format("{}: round {:.3g} ms, on top {:.3g} ms.", kind.name, 1e3 * round,
                                        1e3 * median(bent_times)));
}

struct Lifts {
    double mean = 0.0;
    double high = 0.0; ///< crest or mid-port
    double low = 0.0;  ///< trough or mid-land

    std::string beside(const Lifts& finest) const {
        const auto off = [](double a, double b) { return 100.0 * (a / b - 1.0); };
        return fmt::format("{:+.3f}/{:+.3f}/{:+.2f}", off(mean, finest.mean), off(high, finest.high),
                           off(low, finest.low));
    }
};

Lifts lifts(const stack::Stack& stack, double pressure, const stack::RingDivision& division) {
    const auto waves = stack.windows > 0
                           ? std::nullopt
                           : stack::Solution(stack, {.max_pressure = pressure}).waves_up_to(pressure);
    stack::RingPath path(stack, waves, division);
    const std::optional<stack::UnevenLift> lift = path.at(pressure);
    if (!lift) throw std::runtime_error(path.refusal());
    return {lift->state.seat_lift, lift->mid_port, lift->mid_land};
}

/// What halving and doubling of the division changes, in each direction by itself.
void add_refinement(Section& section, const char* name, const stack::Stack& stack, double pressure) {
    const auto divided = [&](int along, int round) {
        return lifts(stack, pressure, {.along = {.elements = along}, .windows = round, .waves = round});
    };
    const int usual_round = stack.windows > 0 ? stack::RingDivision{}.windows : stack::RingDivision{}.waves;
    const int usual_along = stack::RingDivision{}.along.elements;
    const Lifts finest = divided(4 * usual_along, 3 * usual_round);
    const Lifts usual = divided(usual_along, usual_round);
    section.rows.push_back({fmt::format("{}, {:.4g} bar: mean off by [%]", name, pressure / bar),
                            100.0 * std::abs(usual.mean / finest.mean - 1.0), Row::Goal::at_most, 0.5});
    std::string along, round;
    for (const int elements : {usual_along / 2, usual_along, 2 * usual_along})
        along += fmt::format(" {}: {};", elements, divided(elements, 3 * usual_round).beside(finest));
    for (const int intervals : {usual_round / 2, usual_round, usual_round * 3 / 2, usual_round * 2})
        round += fmt::format(" {}: {};", intervals, divided(4 * usual_along, intervals).beside(finest));
    section.notes.push_back(fmt::format(
        "{}: mean/highest/lowest off [%] by elements along the radius{} by intervals round half a pitch{} "
        "beside {} and {}.",
        name, along, round, 4 * usual_along, 3 * usual_round));
}

} // namespace

Section ring() {
    Section section{
        "Stacks that are not round: CPU time of the flow law beside that of the round shape's, and "
        "what is left of the division"};
    for (const Kind& kind : kinds())
        add_cost(section, kind);
    add_refinement(section, "two stages in waves", two_stages(), 12.42 * bar);
    add_refinement(section, "two shims over four windows of 0.3", bare({{15.0, 0.2}, {13.0, 0.2}}, 4, 0.3),
                   4.0 * bar);
    return section;
}

} // namespace valve::validation::speed
