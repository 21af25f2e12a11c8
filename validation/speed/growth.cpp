#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <speed/stacks.hpp>
#include <valve/stack/detail/path.hpp>

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

namespace valve::validation::speed {
namespace {

constexpr double bar = 1e5; // [Pa]

struct Cost {
    double solve = 0.0;         ///< a solve at a neighbouring pressure [s]
    double factorisation = 0.0; ///< one, with its share of assembly and contact [s]
};

/// Of the last decade below `highest` [Pa], in steps like those of a lift curve.
Cost cost(const stack::Stack& stack, int elements, double highest) {
    constexpr double ratio = 1.2;
    constexpr int solves = 12;
    plate::Grading grading;
    grading.elements = elements;
    std::vector<double> times;
    int factorisations = 0;
    for (int repeat = 0; repeat < 3; ++repeat) {
        stack::Path path(stack, stack::Theory::large_deflection, grading);
        auto solve = [&](double pressure) {
            if (path.at(pressure) == nullptr)
                throw std::runtime_error(fmt::format("{} elements: {}", elements, path.refusal()));
        };
        solve(highest * std::pow(ratio, -solves));
        const int before = path.factorisations();
        times.push_back(time_of([&] {
            for (int i = solves; i-- > 0;)
                solve(highest * std::pow(ratio, -i));
        }));
        factorisations = path.factorisations() - before;
    }
    return {median(times) / solves, median(times) / factorisations};
}

struct Growth {
    std::vector<double> sizes;
    std::vector<double> solves;
    std::vector<double> factorisations;
    std::string listed;

    void add(int size, const Cost& cost) {
        sizes.push_back(size);
        solves.push_back(cost.solve);
        factorisations.push_back(cost.factorisation);
        listed += fmt::format("{}{}: {:.3g}/{:.2g}", listed.empty() ? "" : ", ", size, 1e3 * cost.solve,
                              1e3 * cost.factorisation);
    }
};

void report(Section& section, const Growth& growth, const std::string& what, double goal) {
    section.rows.push_back({fmt::format("with {}: a solve", what),
                            fitted_exponent(growth.sizes, growth.solves), Row::Goal::at_most, goal});
    section.rows.push_back({fmt::format("with {}: a factorisation and what goes with it", what),
                            fitted_exponent(growth.sizes, growth.factorisations), Row::Goal::at_most, goal});
    section.notes.push_back(fmt::format("By {}, solve/factorisation [ms]: {}.", what, growth.listed));
}

} // namespace

Section growth() {
    Section section{"Growth: fitted exponents of the cost of a solve 1.2 times higher up the curve"};
    Growth elements;
    for (const int count : {20, 40, 80, 160, 320})
        elements.add(count, cost(twelve_shims(), count, 8.0 * bar));
    Growth shims;
    for (const int count : {2, 4, 8, 15, 30})
        shims.add(count, cost(tapering(count), plate::Grading{}.elements, 0.4 * bar * count));
    report(section, elements, "elements", 1.0);
    report(section, shims, "shims", 2.0);
    section.notes.push_back("12 shims in two stages; 40 elements. Where a solve grows faster than its "
                            "factorisation, the active set takes more rounds.");
    return section;
}

} // namespace valve::validation::speed
