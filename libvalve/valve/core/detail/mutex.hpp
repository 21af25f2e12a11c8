#pragma once

#include <mutex>

#ifndef VALVE_THREADS
#error "whether there are threads is told source by source, in libvalve/CMakeLists.txt"
#endif

namespace valve {

#if VALVE_THREADS
using Mutex = std::mutex;
#else
/// Nothing to wait for where there are no threads.
struct Mutex {
    void lock() {}
    void unlock() {}
};
#endif

using Lock = std::lock_guard<Mutex>;

} // namespace valve
