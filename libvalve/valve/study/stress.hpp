#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/onset.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/warning.hpp>

#include <optional>
#include <vector>

namespace valve::study {

/// Some strip in the file states a yield strength or a fatigue limit.
bool states_limits(const setup::Reading& reading);

/// A limit of the strip.
enum class StripLimit {
    set,    ///< beyond it a shim keeps a set
    fatigue ///< beyond it a shim is bent beyond endless life
};

/// Lowest rod speed, as a magnitude, at which some shim passes `limit` [m/s]; none up to the top speed of the
/// search. Stacks are followed little further than to where the first does. Throws SolveError where the
/// search breaks off before one does.
std::optional<double> stress_onset(damper::OnsetSearch& search, StripLimit limit, damper::LiftCache& lifts);

/// Valves whose shims pass a limit of their strip up to the top speed of the search, whatever speeds are
/// asked elsewhere, and from where on that is not known. Nothing is said of strips that state no limit.
std::vector<Warning> stress_warnings(damper::OnsetSearch& search, damper::LiftCache& lifts);

/// Of valves whose law takes the stack for round: those whose stack buckles into waves up to the top speed of
/// the search, and beyond lifts more than its lift curve says; and those whose waves over their ports pass
/// what harmonics follow.
std::vector<Warning> wave_warnings(damper::OnsetSearch& search, damper::LiftCache& lifts);

/// All that is warned of shims: stress_warnings(), then wave_warnings().
std::vector<Warning> shim_warnings(damper::OnsetSearch& search, damper::LiftCache& lifts);

/// A damper at mid travel up to damper::usual_top_speed: where a file alone is asked.
struct UsualSearch {
    /// Throws as LiftCache::model().
    UsualSearch(const damper::SetUp& unit, damper::LiftCache& lifts)
        : model(lifts.model(unit)), search(model, 0.5 * unit.cartridge.travel, damper::usual_top_speed) {}
    UsualSearch(const UsualSearch&) = delete; // its search refers to its model
    UsualSearch& operator=(const UsualSearch&) = delete;

    damper::Model model;
    damper::OnsetSearch search;
};

/// Stress warnings of a file whose strips state a limit: of a damper at mid travel up to
/// damper::usual_top_speed, of a valve alone by the pressure on its face shim. Nothing of other files.
std::vector<Warning> stress_warnings(const setup::Reading& reading, damper::LiftCache& lifts);

} // namespace valve::study
