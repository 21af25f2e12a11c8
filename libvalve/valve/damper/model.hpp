#pragma once

#include <valve/damper/end_cup.hpp>
#include <valve/damper/network.hpp>
#include <valve/damper/reservoir.hpp>
#include <valve/damper/spec.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/valve_law.hpp>
#include <valve/stack/lift_law.hpp>

#include <array>
#include <optional>
#include <utility>

namespace valve::damper {

/// The stroke in which the valve at a place opens.
constexpr Stroke stroke_of(Place place) {
    return place == Place::base_compression || place == Place::piston_compression ? Stroke::compression
                                                                                  : Stroke::rebound;
}

/// Whether a place is in the piston, between C and R, or in the base, between C and S.
constexpr bool at_piston(Place place) {
    return place == Place::piston_compression || place == Place::piston_rebound;
}

/// What a rod leaves into.
enum class RodInto { atmosphere, leg };

/// Lift laws of the stacks of a damper, all of one plate theory; none where there is no valve.
struct LiftLaws {
    stack::Theory theory = stack::Theory::linear;
    std::array<std::optional<stack::LiftLaw>, 4> at_place; ///< in the order of all_places
    std::array<flow::ValveLaw::Bent, 4> bent{};            ///< as the stacks bend; null: taken for round

    /// Another stack at a place, of the law `law` and taken for round.
    void take_round(Place place, stack::LiftLaw law) {
        at_place.at(static_cast<std::size_t>(place)) = std::move(law);
        bent.at(static_cast<std::size_t>(place)) = nullptr;
    }
};

/// A damper ready to be solved: areas, oil, reservoir, and what lies between its chambers. C and R are joined
/// by the piston, C and S by the base. The lift laws are given, so that other oil, clicks or bore cost no
/// plate solution.
class Model {
public:
    /// Throws InputError where check(setup) has an error, std::invalid_argument where a valve has no lift
    /// law.
    Model(const SetUp& setup, const LiftLaws& laws);

    const SetUp& setup() const { return m_setup; }
    const flow::OilState& oil() const { return m_oil; }
    const ReservoirLaw& reservoir() const { return m_reservoir; }
    stack::Theory theory() const { return m_theory; }

    /// Whether some stack is followed as it bends round the ring; if not, all are taken for round.
    bool bends() const { return m_bends; }

    /// Chambers and links: the piston leads from C to R, the base from C to S.
    const Network& network() const { return m_network; }
    const flow::Link& piston() const { return m_network.piston(); }

    /// Null where there is no base valve: C and S are one.
    const flow::Link* base() const { return m_network.base(); }

    double piston_area() const { return m_network.piston_area(); }   ///< A_p [m²]
    double rod_area() const { return m_network.rod_area(); }         ///< A_r [m²]
    double annulus_area() const { return m_network.annulus_area(); } ///< A_a [m²]

    /// At the end of a stroke: in C for compression, in R for rebound. Null where there is none.
    const EndCupLaw* end_cup(Stroke stroke) const;

    /// How far the plug at the end of `stroke`, which is there, is in its cup at `travel` [m]; not in: below
    /// zero [m].
    double end_depth(Stroke stroke, double travel) const;

    /// What the rod leaves into, absolute [Pa], at `travel` [m]: the atmosphere, the leg's air around a
    /// closed cartridge, the reservoir of an open one. Throws InputError for RodInto::leg where there is no
    /// such leg.
    double external_pressure(double travel, RodInto rod_into) const;

    /// ∫ p_ext dx of it from full extension to `travel` [m], in closed form: the work on each m² of rod
    /// [J/m²]. Throws as external_pressure().
    double external_work(double travel, RodInto rod_into) const;

private:
    SetUp m_setup;
    stack::Theory m_theory;
    bool m_bends = false;
    flow::OilState m_oil;
    ReservoirLaw m_reservoir;
    Network m_network;
    std::array<std::optional<EndCupLaw>, 2> m_end_cups; // by Stroke
};

} // namespace valve::damper
