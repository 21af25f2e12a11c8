#pragma once

#include <valve/setup/document.hpp>
#include <valve/study/curve.hpp>
#include <valve/study/cycle.hpp>

#include <algorithm>
#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// One key at several values, in the order asked; or several ways in which a damper can be.
struct Sweep {
    std::string name;  ///< of the adjuster, or the key itself
    std::string key;   ///< dotted; empty where it is not one key that changes
    std::string steps; ///< "clicks", "turns"; empty where it is no adjuster
    std::vector<std::string> settings;
    std::string unit = {}; ///< of settings that are bare numbers: "mm"
};

/// The unit in which settings of the dotted `key` are read that have none of their own; empty where one has,
/// or the key has no unit. Settings of an unknown key are left to the reader of the file.
std::string unit_of_settings(const std::string& key, const std::vector<std::string>& settings);

/// A setting without a result.
struct LeftOut {
    std::string setting;
    std::string why;
};

/// Results along a sweep.
template <class Result>
struct Family {
    Sweep sweep;                 ///< its settings those with a result
    std::vector<Result> members; ///< by setting, one at least
    std::vector<LeftOut> left_out = {};

    /// Some setting has no result, or one that failed in part.
    bool failed() const {
        return !left_out.empty() ||
               std::any_of(members.begin(), members.end(), [](const Result& one) { return one.failed(); });
    }
};

/// Cycles of one set-up, and what was said of its file.
struct CycleMember {
    std::vector<std::string> warnings;
    CycleStudy study;

    bool failed() const { return study.failed(); }
};

using CurveFamily = Family<CurveResult>;
using CycleFamily = Family<CycleMember>;

/// The set-up at a setting, counted from 0. May be called from several threads at once.
using DocumentAt = std::function<setup::Document(std::size_t)>;

/// The curves of a damper at every setting of `sweep`, as many at once as the machine has cores. A setting
/// that cannot be read or solved is left out; where that is so of all, throws what the first did: InputError
/// for a document that cannot be read or holds no damper, SolveError where a stack has no lift curve.
CurveFamily curve_family(Sweep sweep, const DocumentAt& document, const damper::CurveOptions& options,
                         damper::LiftCache& lifts);

/// The cycles that `question` asks of each set-up, in the same way.
CycleFamily cycle_family(Sweep sweep, const DocumentAt& document,
                         const std::function<CycleQuestion(const damper::SetUp&)>& question,
                         damper::LiftCache& lifts);

/// Dead travel of all cycles, both reversals together [m]; none where one does not come up to its force.
std::optional<double> dead_travel_in_all(const CycleStudy& study);

/// The member that loses the least travel at reversals, in all its cycles together; none where one of them
/// does not come up to its force in any member.
std::optional<std::size_t> least_dead_travel(const CycleFamily& family);

/// The members, in order, whose dead travel in all is no further from the least than both may err
/// (CycleErrors); that of least_dead_travel() among them. Empty where that is none.
std::vector<std::size_t> alike_in_dead_travel(const CycleFamily& family);

/// dead_travel_in_all() as it would be but for dips (CycleFigures::but_for_dips_compression) [m].
std::optional<double> but_for_dips_in_all(const CycleStudy& study);

/// The member that would have the least but for dips, where that is none of alike_in_dead_travel() and less
/// than what those would have, by more than the figures may err; else none.
std::optional<std::size_t> least_but_for_dips(const CycleFamily& family);

} // namespace valve::study
