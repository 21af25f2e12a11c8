#pragma once

#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/study/sweep.hpp>

#include <cstddef>
#include <exception>
#include <optional>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

namespace valve::study {

/// `solve(i)` for every setting, by as many threads as the machine has. A setting for which it throws an
/// Error is left out; where none has a result, throws what the first did.
template <class Solve>
auto along(Sweep sweep, const Solve& solve) -> Family<std::invoke_result_t<Solve, std::size_t>> {
    using Result = std::invoke_result_t<Solve, std::size_t>;
    const std::size_t count = sweep.settings.size();
    std::vector<std::optional<Result>> results(count);
    std::vector<std::optional<std::string>> reasons(count);
    std::exception_ptr of_first;
    for_each_index(count, [&](std::size_t i) {
        try {
            results[i].emplace(solve(i));
        } catch (const Error& error) {
            reasons[i] = error.what();
            if (i == 0) of_first = std::current_exception();
        }
    });
    Family<Result> family{std::move(sweep), {}};
    const std::vector<std::string> settings = std::exchange(family.sweep.settings, {});
    for (std::size_t i = 0; i < count; ++i) {
        if (!results[i]) {
            family.left_out.push_back({settings[i], *reasons[i]});
            continue;
        }
        family.members.push_back(std::move(*results[i]));
        family.sweep.settings.push_back(settings[i]);
    }
    if (family.members.empty() && of_first) std::rethrow_exception(of_first);
    return family;
}

} // namespace valve::study
