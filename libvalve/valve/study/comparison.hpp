#pragma once

#include <valve/study/causes.hpp>
#include <valve/study/run.hpp>
#include <valve/study/unevenness.hpp>
#include <valve/study/warning.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// Two or more set-ups side by side; the first is the reference.
struct Comparison {
    struct Entry {
        std::string file;
        setup::Reading reading;
        Headline headline = {};
        std::optional<RunBeside> measured = std::nullopt;
        std::vector<Warning> warnings = {};     ///< of its shims, up to the top speed
        std::vector<Unevenness> not_round = {}; ///< up to there
    };

    std::vector<Entry> setups;
    std::vector<Variant> variants; ///< of setups[1], setups[2], …

    /// Some figure of a set-up could not be solved.
    bool failed() const;
};

struct CompareOptions {
    EvaluateOptions at = {}; ///< hit and heavy load: those of the first set-up, unless given
    std::optional<RunFile> run = std::nullopt; ///< to lay over each
    std::vector<double> frequencies = {};      ///< of cycles that each is put through [Hz]
    std::vector<RideEvent> events = {};        ///< that each rides
};

/// Solves set-ups side by side (stress too, where the strips of all state a limit; static support, where all
/// have one; sag, where all say what the wheel carries), and each variant again with every changed key undone
/// (and, where that shows no cause, the reference with every changed key alone). As many at once as the
/// machine has cores; the results do not depend on how many. Throws InputError for a document that cannot be
/// read, holds no damper or, with events, does not say what rides on the wheel, SolveError where a stack has
/// no lift curve.
Comparison compare(const std::vector<setup::Document>& documents, const CompareOptions& options,
                   damper::LiftCache& lifts);

} // namespace valve::study
