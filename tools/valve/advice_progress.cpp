#include "advice_progress.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace program {

void AdviceProgress::tell(valve::study::AdviseStage stage, std::size_t of) {
    const std::lock_guard<std::mutex> hold(m_hold);
    const auto number = static_cast<std::size_t>(stage);
    constexpr std::array<const char*, 3> words{"single changes", "pairs", "solving what is told"};
    std::size_t& done = m_done.at(number);
    done = std::min(done + 1, of);
    m_line.tell(fmt::format("{}: {} of {}", words.at(number), done, of), static_cast<int>(number), done, of);
}

} // namespace program
