#include <valve/core/detail/parallel.hpp>

#include <exception>
#include <vector>

#if VALVE_THREADS
#include <algorithm>
#include <atomic>
#include <thread>
#endif

namespace valve {

void for_each_index(std::size_t count, const std::function<void(std::size_t)>& work) {
    std::vector<std::exception_ptr> faults(count);
    const auto call = [&](std::size_t i) {
        try {
            work(i);
        } catch (...) {
            faults[i] = std::current_exception();
        }
    };
#if VALVE_THREADS
    std::atomic<std::size_t> next{0};
    const auto take = [&] {
        for (std::size_t i = next++; i < count; i = next++)
            call(i);
    };
    {
        std::vector<std::jthread> helpers; // joined at the end
        const std::size_t hands = std::min<std::size_t>(count, std::thread::hardware_concurrency());
        for (std::size_t hand = 1; hand < hands; ++hand)
            helpers.emplace_back(take);
        take();
    }
#else
    for (std::size_t i = 0; i < count; ++i)
        call(i);
#endif
    for (const std::exception_ptr& fault : faults)
        if (fault) std::rethrow_exception(fault);
}

} // namespace valve
