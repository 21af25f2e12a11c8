#pragma once

#include <cstddef>
#include <functional>

namespace valve {

/// Calls `work(i)` once for every i below `count`, by as many threads as the machine runs at once; one after
/// the other where the library was built without threads. `work` must not throw.
void for_each_index(std::size_t count, const std::function<void(std::size_t)>& work);

/// The same for work that may throw: once all calls have ended, throws what the one of the lowest i did.
void try_each_index(std::size_t count, const std::function<void(std::size_t)>& work);

} // namespace valve
