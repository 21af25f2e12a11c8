// build/validate-notes: prints, detail by detail, whether it moves the answer; exits 1 where a check that a
// note rests on fails.

#include <frame/table.hpp>
#include <notes/demo.hpp>
#include <notes/note.hpp>

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <exception>

namespace {

using namespace valve::validation;

bool all_passed(const Recorder& recorder) {
    return std::all_of(recorder.checks().begin(), recorder.checks().end(),
                       [](const Check& check) { return check.passed(); });
}

int run() {
    const References references = References::load(VALVE_REFERENCES);
    notes::Demo demo;
    std::array<Recorder, 1> recorders{Recorder{"notes", references}};
    fmt::print("Details of a valve that are left out or chosen by the user, on the demo fork and one shim.\n"
               "A detail matters where it moves the damping force by {:.1f} % or more, half of what one face "
               "shim less\nin every stack does where it does least: less would not change a build (common "
               "practice, no source).\n",
               100.0 * demo.half_a_step());
    for (const auto& note_of : {notes::thickness_note, notes::land_note, notes::notch_note,
                                notes::friction_note, notes::hub_note, notes::coverage_note}) {
        const notes::Note note = note_of(demo, recorders[0]);
        fmt::print("\n{}\n", note.title);
        for (const std::string& line : note.lines)
            fmt::print("  {}\n", line);
        fmt::print("  {}.\n", note.verdict);
    }
    fmt::print("\n{}", table(recorders));
    return all_passed(recorders[0]) ? 0 : 1;
}

} // namespace

int main() {
    try {
        return run();
    } catch (const std::exception& error) {
        std::fprintf(stderr, "validate-notes: %s\n", error.what());
        return 1;
    }
}
