#pragma once

#include <valve/study/lift.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What there is to say of a lift round the ring: how uneven windows make it and whether that matters, where
/// their numbers end, and where the round shape buckles. Empty where there is nothing.
std::vector<std::string> ring_sentences(const study::LiftResult& result);

} // namespace valve::report
