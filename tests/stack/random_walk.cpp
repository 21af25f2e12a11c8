#include <stack/random_walk.hpp>
#include <stack/verify.hpp>
#include <valve/stack/detail/path.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace valve::stack::testing {

bool Walk::holds() const {
    return failure.empty() && overlap <= 1e-7 && pull <= 1e-6 && product <= 1e-10 && imbalance <= 1e-6;
}

std::string Walk::words() const {
    if (!failure.empty()) return failure;
    return fmt::format("overlap {:.1g}, pull {:.1g}, product {:.1g}, imbalance {:.1g}", overlap, pull,
                       product, imbalance);
}

void Walk::take_worse(const Walk& other) {
    overlap = std::max(overlap, other.overlap);
    pull = std::max(pull, other.pull);
    product = std::max(product, other.product);
    imbalance = std::max(imbalance, other.imbalance);
}

void Walk::take_worse(const Verdict& verdict) {
    take_worse(Walk{.overlap = verdict.overlap / verdict.highest,
                    .pull = verdict.pull / verdict.load,
                    .product = verdict.product,
                    .imbalance = verdict.imbalance / verdict.load,
                    .end = {},
                    .failure = {}});
}

Walk walk(const Stack& stack, Theory theory, double top_pressure) {
    Walk walk;
    Path path(stack, theory, plate::Grading{});
    for (const double share : {0.001, 0.01, 0.1, 0.3, 1.0}) {
        const State* state = path.at(share * top_pressure);
        if (state == nullptr) {
            (path.beyond_theory() ? walk.end : walk.failure) = path.refusal();
            break;
        }
        walk.take_worse(verify(path.problem(), *state));
    }
    return walk;
}

} // namespace valve::stack::testing
