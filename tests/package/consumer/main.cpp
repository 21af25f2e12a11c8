// A user of the installed library.
#include <valve/valve.hpp>

#include <cstdio>

int main(int argc, char** argv) try {
    const auto document = valve::setup::Document::load(argc > 1 ? argv[1] : "fork.yaml");
    const valve::damper::SetUp fork = valve::setup::read(document).unit.value();

    const valve::stack::Solution check_plate(fork.valves[valve::damper::Place::base_refill].value().stack);
    const double lift = check_plate.at(0.5e5).seat_lift;
    std::printf("the check plate lifts %.2f mm at 0.5 bar\n", lift * 1e3);

    valve::damper::LiftCache stacks;
    const valve::damper::Model model = stacks.model(fork);
    const valve::damper::Curve curve = valve::damper::steady_curve(model, {.speeds = {-1.0, 1.0}});
    for (const valve::damper::SteadyPoint& point : curve.points)
        std::printf("%+.0f m/s: damping force %.0f N\n", point.speed, point.damping_force);
    return lift > 0.0 ? 0 : 1;
} catch (const valve::Error& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
}
