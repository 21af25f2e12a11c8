#pragma once

#include <valve/report/json.hpp>
#include <valve/study/comparison.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

Json json(const study::Comparison& comparison);

/// One line a figure and set-up; with a run, one line a speed and set-up.
Json points(const study::Comparison& comparison);

/// How a reader asks for what was not; may be empty.
struct Asking {
    std::string_view cycles_or_rides; ///< both count
    std::string_view rides;           ///< rides alone
};

/// Three sentences a variant, what else moved and what was changed, then the figures side by side. What
/// stayed is counted, or listed `with_unchanged`. `asking` is told where a key counts there alone.
std::string text(const study::Comparison& comparison, bool with_unchanged = false, const Asking& asking = {});

/// The causes of a change as one text: "valves.base.refill.float.rate"; "together: a, b".
std::string because_words(const study::Change& change);

/// What moved, clauses with one cause in one sentence, in the order of the changes. A changed key is told
/// with its change where it is first named.
std::vector<std::string> sentences(const study::Variant& variant, double top_speed);

/// What stayed though its keys did not: "Damping force … stays at 226 N: -65 N by …, +62 N by …."
std::vector<std::string> balanced_sentences(const study::Variant& variant, double top_speed);

/// "Unchanged within 1 %: …"; empty if everything moved.
std::string unchanged_line(const study::Variant& variant, double top_speed);

/// Which changed keys count in cycles and on rides alone, where none was asked: "The oil's free air, … counts
/// in time alone, and no figure compared is of a cycle or a ride."; empty where there are none.
std::vector<std::string> not_asked_sentences(const study::Variant& variant);

/// What the runs behind the figures give to think, in whole sentences: events that are cut off, dead travel
/// that jumps, valves that swing over events.
std::vector<std::string> cautions(const study::Comparison& comparison);

/// How a cause is found, for those who read the result.
std::string_view rule_of_causes();

/// Which change is told first, for the same readers.
std::string_view rule_of_order();

/// How cycles are run, and what is noticed of them.
std::string rule_of_cycles();

/// What a rider notices of a ride, and what "-" means there.
std::string_view rule_of_rides();

/// Whether there are figures of cycles.
bool cycles(const study::Comparison& comparison);

/// Whether there are figures of rides.
bool rides(const study::Comparison& comparison);

} // namespace valve::report
