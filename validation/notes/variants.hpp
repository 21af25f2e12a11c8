#pragma once

#include <notes/demo.hpp>
#include <notes/note.hpp>

#include <functional>

namespace valve::validation::notes {

/// Something done to a stack; stacks that it leaves as they are, are left out.
struct Variant {
    std::string name;
    std::function<void(stack::Stack&)> apply;
};

/// Largest changes of a variant, as shares of what they are as found [-].
struct Largest {
    double lift = 0.0;  ///< of a stack at one of `pressures`
    double force = 0.0; ///< of the fork's damping at ±1 and ±3 m/s, done to all its stacks
};

/// Adds to `note` what each variant does to every stack and to the fork, and tells the largest changes.
std::vector<Largest> tabulate(Demo& demo, std::span<const Variant> variants, Note& note);

/// Adds to `note` the heading of damping forces and those of the fork as found, which it returns.
std::vector<double> tabulate_found(Demo& demo, Note& note);

/// Change from `found` to `changed` as a column of a table. Raises `largest` [-] to its size.
std::string percent(double changed, double found, double& largest);

/// "matters: WHAT" or "does not: WHAT".
std::string verdict(bool matters, const std::string& what);

} // namespace valve::validation::notes
