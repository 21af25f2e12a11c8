#pragma once

namespace valve::testing {

/// How often this program has taken memory so far: by operator new, or by malloc, calloc or realloc from
/// within the objects it is linked of, as Eigen does. Only in a program linked with allocations.cpp and the
/// linker's --wrap for these three.
long allocations();

} // namespace valve::testing
