#pragma once

#include <valve/study/advise.hpp>

#include <array>
#include <cstddef>
#include <mutex>

#include "progress_line.hpp"

namespace program {

/// How far the search for advice has come.
class AdviceProgress {
public:
    /// Called by several threads.
    void tell(valve::study::AdviseStage stage, std::size_t of);
    void clear() { m_line.clear(); }

private:
    std::array<std::size_t, 3> m_done{};
    std::mutex m_hold;
    ProgressLine m_line;
};

} // namespace program
