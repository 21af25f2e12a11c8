#include <valve/damper/gas.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>

#include <stdexcept>

namespace valve::damper {

namespace {

/// What a level is measured in.
struct Column {
    double room = 0.0; // for oil and air [m³]
    double area = 0.0; // of the air above the oil [m²]
};

Column column_of(const Leg& leg, const Cartridge& cartridge, const LevelMethod& method) {
    if (!leg.column) throw std::invalid_argument("oil level: the leg has no column");
    const OilColumn& given = *leg.column;
    const double travel = method.fork == ForkAt::compressed ? cartridge.travel : 0.0;
    Column column{leg.chamber_volume - air_area(leg, cartridge) * travel,
                  circle_area(given.tube) - circle_area(given.inside)};
    if (method.spring == SpringAt::out) {
        column.room += given.spring_volume;
    } else {
        column.area -= given.spring_volume / (given.spring_length - travel);
    }
    return column;
}

} // namespace

double air_area(const Leg& leg, const Cartridge& cartridge) {
    const double swept = circle_area(leg.diameter);
    return cartridge.layout == Layout::open_cartridge ? swept : swept - rod_area(cartridge);
}

double leg_pressure(const Leg& leg, const Cartridge& cartridge, double travel) {
    return gas_pressure(leg.pressure, air_volume(leg), leg.exponent, air_area(leg, cartridge) * travel);
}

double leg_work(const Leg& leg, const Cartridge& cartridge, double travel) {
    const double area = air_area(leg, cartridge);
    return gas_work(leg.pressure, air_volume(leg), leg.exponent, area * travel) / area;
}

double air_travel_limit(const Leg& leg, const Cartridge& cartridge) {
    return air_volume(leg) / air_area(leg, cartridge);
}

double oil_volume(const Leg& leg, const Cartridge& cartridge, double depth, const LevelMethod& method) {
    const Column column = column_of(leg, cartridge, method);
    return column.room - column.area * depth;
}

double oil_depth(const Leg& leg, const Cartridge& cartridge, const LevelMethod& method) {
    const Column column = column_of(leg, cartridge, method);
    return (column.room - leg.oil_volume) / column.area;
}

} // namespace valve::damper
