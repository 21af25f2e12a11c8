#pragma once

#include <valve/study/advise.hpp>

#include <cstdint>
#include <string>
#include <vector>

/// Every single change of a set-up tried at every size, by loops of its own and edits of the written file,
/// and weighed by the measure that advice states. Nothing here is of the code that seeks.
namespace valve::tests {

/// A set-up and a goal drawn at random, on forest-fork.yaml.
struct AdviceCase {
    std::vector<setup::Override> overrides;
    std::string goal; ///< lines of a goal file
    std::vector<std::string> only;

    setup::Document document() const;
    study::Goal asked() const;
};

/// The same for the same `seed`.
AdviceCase advice_case(std::uint64_t seed);

/// What the best of all single changes does.
struct BestSingle {
    std::string words = {}; ///< what it is
    double reached = 0.0;
    double worth = 0.0;
    std::size_t tried = 0;
};

/// Of each change the size that leaves least, in steps of a workshop; of these the one worth most, and the
/// one that reaches most.
struct Brute {
    BestSingle of_worth;
    BestSingle of_reach;
};

Brute brute_force(const AdviceCase& drawn, damper::LiftCache& lifts);

/// The best of some pairs.
struct Near {
    double reached = 0.0;  ///< the largest part of the goal that any reaches
    double worth = 0.0;    ///< the most that one is worth which reaches as far as the pair asked about
    std::size_t tried = 0; ///< that can be built
};

/// Of `pair` and its levers within `around` steps of the sizes that it has, solved one by one.
Near best_near(const AdviceCase& drawn, const study::Suggestion& pair, int around, damper::LiftCache& lifts);

} // namespace valve::tests
