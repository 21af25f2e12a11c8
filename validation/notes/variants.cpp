#include <notes/variants.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::validation::notes {
namespace {

void tabulate_stack(Demo& demo, const NamedStack& named, std::span<const Variant> variants,
                    std::vector<Largest>& largest, Note& note) {
    auto changes = [&named](const Variant& variant) {
        stack::Stack stack = named.stack;
        variant.apply(stack);
        return stack != named.stack;
    };
    if (std::none_of(variants.begin(), variants.end(), changes)) return;
    const Opening found = demo.opening(named.stack);
    note.lines.push_back(fmt::format("{:<38}{:>11.3f}{:>11.4f}{:>11.4f}{:>11.4f}", named.name,
                                     found.crack / bar, found.lift[0] / mm, found.lift[1] / mm,
                                     found.lift[2] / mm));
    for (std::size_t i = 0; i < variants.size(); ++i) {
        stack::Stack stack = named.stack;
        variants[i].apply(stack);
        if (stack == named.stack) continue;
        const Opening changed = demo.opening(stack);
        std::string line =
            fmt::format("  {:<36}{:>+7.3f} bar", variants[i].name, (changed.crack - found.crack) / bar);
        for (std::size_t k = 0; k < pressures.size(); ++k)
            line += percent(changed.lift[k], found.lift[k], largest[i].lift);
        note.lines.push_back(line);
    }
}

void tabulate_fork(Demo& demo, std::span<const Variant> variants, std::vector<Largest>& largest, Note& note) {
    const std::vector<double> found = tabulate_found(demo, note);
    for (std::size_t i = 0; i < variants.size(); ++i) {
        const damper::SetUp fork = with_every_stack(demo.fork(), variants[i].apply);
        const std::vector<double> forces = demo.damping_forces(fork, speeds);
        std::string line = fmt::format("  {:<36}", variants[i].name);
        for (std::size_t k = 0; k < speeds.size(); ++k)
            line += percent(forces[k], found[k], largest[i].force);
        note.lines.push_back(line);
    }
}

} // namespace

std::string percent(double changed, double found, double& largest) {
    if (found == 0.0) return fmt::format("{:>11}", changed == 0.0 ? "closed" : "opens");
    const double share = changed / found - 1.0;
    largest = std::max(largest, std::abs(share));
    return fmt::format("{:>+9.1f} %", 100.0 * share);
}

std::vector<double> tabulate_found(Demo& demo, Note& note) {
    std::vector<double> found = demo.damping_forces(demo.fork(), speeds);
    std::string heading = fmt::format("{:<38}", "damping force of the fork [N]");
    std::string line = fmt::format("  {:<36}", "as found");
    for (std::size_t k = 0; k < speeds.size(); ++k) {
        heading += fmt::format("{:>7g} m/s", speeds[k]);
        line += fmt::format("{:>11.0f}", found[k]);
    }
    note.lines.push_back(heading);
    note.lines.push_back(line);
    return found;
}

std::vector<Largest> tabulate(Demo& demo, std::span<const Variant> variants, Note& note) {
    std::vector<Largest> largest(variants.size());
    note.lines.push_back(fmt::format("{:<38}{:>11}{:>11}{:>11}{:>11}", "crack [bar], lift [mm]", "crack",
                                     "2 bar", "5 bar", "10 bar"));
    for (const NamedStack& named : demo.stacks())
        tabulate_stack(demo, named, variants, largest, note);
    tabulate_fork(demo, variants, largest, note);
    return largest;
}

std::string verdict(bool matters, const std::string& what) {
    return fmt::format("{}: {}", matters ? "matters" : "does not", what);
}

} // namespace valve::validation::notes
