#include <support/allocations.hpp>

#include <atomic>
#include <cstdlib>
#include <new>

namespace {

std::atomic<long> count{0};

} // namespace

namespace valve::testing {

long allocations() {
    return count;
}

} // namespace valve::testing

// The names that the linker's --wrap gives. NOLINTBEGIN(readability-identifier-naming)
extern "C" {
void* __real_malloc(std::size_t size);
void* __real_calloc(std::size_t number, std::size_t size);
void* __real_realloc(void* memory, std::size_t size);

void* __wrap_malloc(std::size_t size) {
    ++count;
    return __real_malloc(size);
}
void* __wrap_calloc(std::size_t number, std::size_t size) {
    ++count;
    return __real_calloc(number, size);
}
void* __wrap_realloc(void* memory, std::size_t size) {
    ++count;
    return __real_realloc(memory, size);
}
}
// NOLINTEND(readability-identifier-naming)

// The forms of operator new that are not replaced here call this one; those for over-aligned types do not,
// and nothing here has any.
void* operator new(std::size_t size) {
    if (void* memory = std::malloc(size)) return memory;
    throw std::bad_alloc();
}
void operator delete(void* memory) noexcept {
    std::free(memory);
}
void operator delete(void* memory, std::size_t) noexcept {
    std::free(memory);
}
