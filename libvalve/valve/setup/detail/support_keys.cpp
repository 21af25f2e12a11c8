#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/support_text.hpp>

#include <memory>

namespace valve::setup {
namespace {

using damper::ForkAt;
using damper::SpringAt;

constexpr Range rates = above_to(0.0, 1000.0);        // [N/mm]
constexpr Range end_rates = above_to(0.0, 20000.0);   // [N/mm]
constexpr Range frictions = from_to(0.0, 5000.0);     // [N]
constexpr Range travels = above_to(0.0, 1000.0);      // [mm]
constexpr Range steel_volumes = from_to(0.0, 2000.0); // [ml]

// Usual values here are common practice, no source.
Key usual_rate(Key key) {
    return usual(0.5, 400.0, "a main spring has 3 to 15 N/mm in a fork, 30 to 300 in a shock; is it in N/mm?",
                 std::move(key));
}

Keys second_rate_keys(damper::SecondRate& second) {
    return {
        usual_rate(required(quantity("rate", second.rate, "N/mm", rates, "beyond that travel"))),
        required(quantity("from", second.from, "mm", from_to(0.0, 1000.0), "travel at which it takes over")),
    };
}

Keys spring_keys(damper::MainSpring& spring) {
    return {
        usual_rate(required(quantity("rate", spring.rate, "N/mm", rates, "of one leg's main spring"))),
        quantity("preload", spring.preload, "mm", from_to(0.0, 300.0), "compression at full extension"),
        map("second", spring.second, second_rate_keys, "the rate that a dual-rate spring goes over to"),
    };
}

Keys column_keys(damper::OilColumn& column) {
    return {
        required(quantity("tube", column.tube, "mm", unit_diameters,
                          "inner diameter of the tube where the level stands")),
        required(quantity("inside", column.inside, "mm", from_to(0.0, 300.0),
                          "diameter of what stands in the tube there, the spring apart; 0 for nothing")),
        required(quantity("length", column.length, "mm", above_to(0.0, 2000.0),
                          "from the top of the tube down, over which these diameters hold")),
        required(quantity("spring_volume", column.spring_volume, "ml", steel_volumes,
                          "of the spring's steel; 0 where no spring is in the oil")),
        required(quantity("spring_length", column.spring_length, "mm", above_to(0.0, 2000.0),
                          "of the spring in the extended fork")),
    };
}

Keys level_keys(LevelText& level) {
    return {
        required(quantity("depth", level.depth, "mm", from_to(0.0, 2000.0),
                          "from the top of the tube down to the oil, the cap off")),
        required(choice("fork", level.method.fork,
                        Names<ForkAt>{{"extended", ForkAt::extended}, {"compressed", ForkAt::compressed}},
                        "how the fork stands while measured")),
        required(choice("spring", level.method.spring,
                        Names<SpringAt>{{"in", SpringAt::in}, {"out", SpringAt::out}},
                        "where the spring is while measured")),
    };
}

Keys leg_keys(LegText& leg) {
    damper::Leg& known = leg.known;
    return {
        required(quantity("chamber_volume", known.chamber_volume, "ml", volumes,
                          "air and oil at full extension, ready to ride")),
        quantity("oil", leg.oil_volume, "ml", volumes, "oil in the leg", "from level"),
        map("level", leg.level, level_keys, "oil in the leg by its level, in place of oil"),
        map("column", known.column, column_keys, "where the oil level is measured"),
        required(quantity("diameter", known.diameter, "mm", unit_diameters, "sealing diameter of the leg")),
        gauge_pressure("pressure", known.pressure, gas_pressures, "of the air at full extension, gauge"),
        quantity("exponent", known.exponent, "", gas_exponents, "polytropic, of the air"),
    };
}

Keys end_spring_keys(damper::EndSpring& spring) {
    return {
        required(quantity("rate", spring.rate, "N/mm", end_rates, "of one leg's")),
        required(quantity("length", spring.length, "mm", travels, "of the travel over which it acts")),
    };
}

Keys load_keys(damper::Load& load) {
    return {
        required(quantity("sprung", load.sprung_mass, "kg", above_to(0.0, 2000.0),
                          "sprung mass on this wheel, without the rider")),
        required(quantity("rider", load.rider_mass, "kg", from_to(0.0, 500.0), "the whole rider with gear")),
        usual(5.0, 100.0, "a share is written in % of the rider; is a hundred times this meant?",
              required(quantity("rider_share", load.rider_share, "%", from_to(0.0, 100.0),
                                "of the rider's mass that this wheel carries"))),
        quantity("rake", load.rake, "deg", from_to(0.0, 60.0), "of a fork, from the vertical"),
        quantity("motion_ratio", load.motion_ratio, "", above_to(0.0, 2.0),
                 "of a shock: its travel by the wheel's"),
    };
}

} // namespace

Keys support_keys(SupportText& text) {
    damper::Support& known = text.known;
    return {
        map("spring", known.spring, spring_keys, "main spring of one leg"),
        map("leg", text.leg, leg_keys, "air and oil in the leg around a cartridge"),
        map("top_out", known.top_out, end_spring_keys, "spring that pulls in at full extension"),
        map("stop", known.stop, end_spring_keys, "spring or buffer at full compression"),
        quantity("friction", known.friction, "N", frictions, "of bushings and seals, one leg, sliding"),
        quantity("breakaway", text.breakaway, "N", frictions, "the same at rest", "friction"),
        count("legs", known.legs, 1, 2, "how many legs carry the wheel"),
        map("load", known.load, load_keys, "masses on the wheel, for sag"),
    };
}

std::function<Keys()> support_reference_keys() {
    return [text = std::make_shared<SupportText>()] { return support_keys(*text); };
}

} // namespace valve::setup
