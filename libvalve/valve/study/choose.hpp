#pragma once

#include <valve/damper/choose.hpp>
#include <valve/setup/read.hpp>

#include <vector>

namespace valve::study {

/// Parts that are at hand; an empty list leaves the value free within what can be built.
struct Stock {
    std::vector<double> rates = {}; ///< of springs, of the first rate where they have two [N/m]
    std::vector<double> fills = {}; ///< of oil in the leg [m³]
};

/// Spring and oil for a rider.
struct SupportChoice {
    damper::SupportGoal goal;
    damper::Buildable limits; ///< where stock was given, from its least to its most
    damper::Choice choice;
    Stock stock = {};
};

/// Chooses as damper::choose(), among the springs and fillings of `stock` where it has some: the pair that
/// comes nearest to the sag, then to the force at the end, then to the free sag (each to 0.1 mm or 1 N).
/// Throws as damper::choose(), and std::invalid_argument for stock that is not above zero.
SupportChoice choose_support(const damper::SetUp& setup, const damper::SupportGoal& goal,
                             const damper::Buildable& limits, const Stock& stock = {});

/// `document` with the values chosen, edited by key: of stock as they are, others as they are bought and set,
/// rates to 0.01 N/mm, preload to 0.1 mm, oil to 1 ml, and not beyond the limits for that. Oil that was
/// written as a level becomes a volume. Throws InputError for a value that a file cannot have.
setup::Document with_choice(const setup::Document& document, const SupportChoice& choice);

} // namespace valve::study
