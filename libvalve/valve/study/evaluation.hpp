#pragma once

#include <valve/damper/choose.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/damper/onset.hpp>
#include <valve/damper/port_control.hpp>
#include <valve/damper/steady.hpp>
#include <valve/damper/support.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/figure.hpp>
#include <valve/study/ride.hpp>
#include <valve/study/stress.hpp>

#include <map>
#include <optional>
#include <utility>
#include <vector>

namespace valve::study {

/// What figures are asked at.
struct EvaluateOptions {
    std::optional<double> travel = std::nullopt; ///< rod travel from full extension [m]; none: mid travel
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    double top_speed = damper::usual_top_speed; ///< of the search for onsets [m/s]
    /// Energy that a hit from full extension brings [J]; none: usual_hit of what the set-up takes up.
    std::optional<double> hit = std::nullopt;
    /// Force at which `heavy_load_travel` is looked for [N]; none: what the set-up carries at near_end.
    std::optional<double> heavy_load = std::nullopt;
    std::optional<motion::Valves> ride_valves =
        std::nullopt; ///< of rides; none: moving where every valve can
    motion::Accuracy ride_accuracy = motion::Accuracy::fine;
};

/// A hit where none is stated, as a share of the energy to full travel.
inline constexpr double usual_hit = 0.7;

/// Share of the travel that counts as near its end.
inline constexpr double near_end = 0.9;

/// Rod travels about which a cycle of the usual stroke stays within the damper's, from the least to the
/// greatest [m].
damper::Bounds room_for_cycles(const damper::SetUp& unit);

/// One set-up, asked for figures. What several of them need is solved once, when first needed.
class Evaluation {
public:
    /// `unit` and `lifts` must outlive it. Without its wheel: figures of rides are refused.
    Evaluation(const damper::SetUp& unit, const EvaluateOptions& options, damper::LiftCache& lifts);

    /// The damper of `reading`, which must outlive it, on the wheel that is stated there. Throws
    /// std::bad_optional_access where the reading holds no damper.
    Evaluation(const setup::Reading& reading, const EvaluateOptions& options, damper::LiftCache& lifts);

    /// The same with the model of `unit` at hand, its lift laws from elsewhere. What asks for stress, or
    /// moves in time, still solves the stacks.
    Evaluation(const damper::SetUp& unit, const EvaluateOptions& options, damper::LiftCache& lifts,
               damper::Model model);
    Evaluation(const Evaluation&) = delete; // its search refers to its model
    Evaluation& operator=(const Evaluation&) = delete;

    const damper::SetUp& unit() const { return m_unit; }
    const EvaluateOptions& options() const { return m_options; }
    double travel() const; ///< at which the damper is asked [m]

    const damper::Model& model();

    /// At `speed` [m/s] and a share of the full travel; none: at travel().
    const damper::SteadyPoint& point(double speed, std::optional<double> travel_share = std::nullopt);

    const damper::VoidOnset& voids();
    const damper::VoidOnset& voids_near_extension();
    const std::vector<damper::PortControl>& ports();

    /// For onsets at travel(), up to the top speed.
    damper::OnsetSearch& search();

    std::optional<double> passed_from(StripLimit limit); ///< [m/s]

    /// A sine of the usual stroke about travel(), at `frequency` [Hz]: one cycle, which has a result. Throws
    /// SolveError.
    const CycleStudy& cycles(double frequency);
    const CycleFigures& cycle(double frequency) { return cycles(frequency).cycles.front(); }

    /// A ride over `event`. Throws InputError where the set-up does not say what rides on the wheel,
    /// SolveError where it cannot be ridden.
    const RideFigures& ride(const RideEvent& event);

    const damper::SupportLaw& support();
    const damper::Load& load() const;

    double hit();        ///< [J]
    double heavy_load(); ///< [N]

private:
    const damper::SetUp& m_unit;
    const motion::Vehicle* m_vehicle = nullptr;
    EvaluateOptions m_options;
    damper::LiftCache& m_lifts;
    std::optional<damper::Model> m_model;
    std::map<std::pair<double, double>, damper::SteadyPoint> m_points; ///< by speed and travel
    std::optional<damper::VoidOnset> m_voids;
    std::optional<damper::VoidOnset> m_voids_near_extension;
    std::optional<std::vector<damper::PortControl>> m_ports;
    std::optional<damper::OnsetSearch> m_search;
    std::map<StripLimit, std::optional<double>> m_passed_from;
    std::map<double, CycleStudy> m_cycles; ///< of one cycle each, by frequency
    std::vector<std::pair<RideEvent, RideFigures>> m_rides;
    std::optional<damper::SupportLaw> m_support;
};

/// The figure asked for; one that cannot be solved says so. Throws what check(request) throws, and InputError
/// for a set-up that does not say enough (no support, no load).
Figure evaluate(Evaluation& of, const FigureRequest& request);

/// The same of a set-up that is asked once.
Figure evaluate(const damper::SetUp& unit, const FigureRequest& request, const EvaluateOptions& options,
                damper::LiftCache& lifts);

} // namespace valve::study
