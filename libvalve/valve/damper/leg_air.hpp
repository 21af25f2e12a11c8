#pragma once

#include <valve/damper/spec.hpp>

#include <array>

namespace valve::damper {

/// Volume that the leg's air loses a travel [m²]: A_leg around an open cartridge; A_leg − A_r around any
/// other damper, which takes the rod's volume in.
double air_area(const Leg& leg, const Cartridge& cartridge);

/// The leg's air at `travel` [m], absolute [Pa]. Throws std::invalid_argument where none is left.
double leg_pressure(const Leg& leg, const Cartridge& cartridge, double travel);

/// ∫ p dx of its pressure since full extension: the work done on each m² that moves with the rod [J/m²].
/// Throws as leg_pressure().
double leg_work(const Leg& leg, const Cartridge& cartridge, double travel);

/// Travel at which the leg has no air left [m].
double air_travel_limit(const Leg& leg, const Cartridge& cartridge);

enum class ForkAt { extended, compressed };
enum class SpringAt { in, out };

/// How an oil level is measured: from the top of the tube down, the cap off.
struct LevelMethod {
    ForkAt fork = ForkAt::compressed;
    SpringAt spring = SpringAt::out;

    bool operator==(const LevelMethod&) const = default;
};
inline constexpr std::array<LevelMethod, 4> all_level_methods{{{ForkAt::compressed, SpringAt::out},
                                                               {ForkAt::compressed, SpringAt::in},
                                                               {ForkAt::extended, SpringAt::out},
                                                               {ForkAt::extended, SpringAt::in}}};

/// Oil in the leg [m³] whose level stands `depth` [m] below the top. The room that oil and air share is the
/// chamber, less what the travel has swept where the fork is compressed, more by the spring's steel where the
/// spring is out; the air above the oil is depth times the column's free area, from which the steel of a
/// spring that is in takes its share, spread over its length. Holds for a depth within the column. Throws
/// std::invalid_argument for a leg without column.
double oil_volume(const Leg& leg, const Cartridge& cartridge, double depth, const LevelMethod& method);

/// The inverse: depth of the leg's oil below the top [m]. Below zero the oil would stand above the top;
/// beyond the length of the column it stands deeper than the formula reaches.
double oil_depth(const Leg& leg, const Cartridge& cartridge, const LevelMethod& method);

} // namespace valve::damper
