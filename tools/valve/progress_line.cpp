#include "progress_line.hpp"

#include <fmt/format.h>

#include <csignal>
#include <cstdio>
#include <string_view>

#if __has_include(<unistd.h>)
#include <unistd.h>
#endif

namespace program {

namespace {

volatile std::sig_atomic_t interrupted = 0;

extern "C" void tell_and_end(int signal) {
    constexpr std::string_view line = "interrupted before the whole answer was told\n";
#if __has_include(<unistd.h>)
    [[maybe_unused]] const auto written = ::write(STDERR_FILENO, line.data(), line.size());
#endif
    std::signal(signal, SIG_DFL);
    std::raise(signal);
}

extern "C" void note_interrupt(int) {
    interrupted = 1;
    std::signal(SIGINT, tell_and_end); // the next one ends the program
}

} // namespace

bool to_a_terminal() {
#if __has_include(<unistd.h>)
    return isatty(STDERR_FILENO) == 1;
#else
    return false;
#endif
}

void ProgressLine::tell(const std::string& words, int stage, std::size_t done, std::size_t most) {
    if (!m_shown) return;
    const Clock::time_point now = Clock::now();
    std::string line = words;
    if (stage != m_stage) {
        m_stage = stage;
        m_begun = now;
    } else if (done > 0 && most >= done) {
        const double passed = std::chrono::duration<double>(now - m_begun).count();
        line += fmt::format(", about {:.0f} s left",
                            passed * static_cast<double>(most - done) / static_cast<double>(done));
    }
    std::fputs(("\r\033[K" + line).c_str(), stderr);
    std::fflush(stderr);
    m_told = true;
}

void ProgressLine::clear() {
    if (m_told) std::fputs("\r\033[K", stderr);
    m_told = false;
}

void end_on_interrupt() {
    if (std::signal(SIGINT, tell_and_end) == SIG_IGN) std::signal(SIGINT, SIG_IGN);
}

InterruptWatch::InterruptWatch() {
    interrupted = 0;
    m_before = std::signal(SIGINT, note_interrupt);
}

InterruptWatch::~InterruptWatch() {
    std::signal(SIGINT, m_before == SIG_ERR ? SIG_DFL : m_before);
}

bool InterruptWatch::asked() const {
    return interrupted != 0;
}

} // namespace program
