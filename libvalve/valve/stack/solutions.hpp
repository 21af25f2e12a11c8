#pragma once

#include <valve/stack/solution.hpp>

#include <cstddef>
#include <memory>

namespace valve::stack {

/// Solutions by the content of their stacks and how these are solved, so that whoever asks about an equal
/// stack shares its solution. Stacks that bend alike are one, however they were written. Bounded: what was
/// not asked for longest is forgotten, and lives on with those who hold it. Threads may ask at the same time;
/// nothing is solved while others wait for the cache.
class Solutions {
public:
    /// Solutions kept at most. One takes some 2 MB once its curve is known: 30 kB a state and 65 states.
    static constexpr std::size_t usual_capacity = 64;

    explicit Solutions(std::size_t capacity = usual_capacity);
    ~Solutions();
    Solutions(const Solutions&) = delete;
    Solutions& operator=(const Solutions&) = delete;

    /// The solution of `stack`, which solves nothing before it is asked. Throws as Solution(); nothing is
    /// kept then. A solution that fails when it is asked stays, and fails again without solving anew.
    std::shared_ptr<const Solution> of(const Stack& stack, const FollowOptions& options = {});

    std::size_t size() const;
    std::size_t capacity() const;

private:
    class Kept;
    std::unique_ptr<Kept> m_kept;
};

} // namespace valve::stack
