#pragma once

#include <chrono>
#include <cstddef>
#include <string>

namespace program {

/// Whether standard error is a terminal.
bool to_a_terminal();

/// One line on standard error that tells how far a long run has come; nothing where that is no terminal. It
/// goes when this goes.
class ProgressLine {
public:
    ProgressLine() : m_shown(to_a_terminal()) {}
    ~ProgressLine() { clear(); }
    ProgressLine(const ProgressLine&) = delete;
    ProgressLine& operator=(const ProgressLine&) = delete;

    /// `words`, and how long it may still take, from `done` of `most` so far in the stage `stage`.
    void tell(const std::string& words, int stage, std::size_t done, std::size_t most);
    void clear();

private:
    using Clock = std::chrono::steady_clock;

    bool m_shown;
    bool m_told = false;
    int m_stage = -1;
    Clock::time_point m_begun;
};

/// From now on an interrupt (Ctrl+C) ends the program with a line that says so, unless who started it has it
/// ignored. The program ends by the signal, so that a shell's loop ends with it.
void end_on_interrupt();

/// While it lives, an interrupt asks to stop, and a second one ends the program.
class InterruptWatch {
public:
    InterruptWatch();
    ~InterruptWatch();
    InterruptWatch(const InterruptWatch&) = delete;
    InterruptWatch& operator=(const InterruptWatch&) = delete;

    bool asked() const;

private:
    void (*m_before)(int);
};

} // namespace program
