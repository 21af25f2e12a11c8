#pragma once

#include <cstddef>
#include <functional>

namespace valve {

/// Calls `work(i)` once for every i below `count`, by as many threads as the machine runs at once; one after
/// the other where the library was built without threads. Where `work` throws, all are called all the same;
/// once they have ended, what the one of the lowest i threw is thrown.
void for_each_index(std::size_t count, const std::function<void(std::size_t)>& work);

} // namespace valve
