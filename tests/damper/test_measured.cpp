#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/measured.hpp>

#include <cmath>

using namespace valve;
using damper::MeasuredForce;

TEST_CASE("a run that is the prediction differs by nothing, one beside it by what was added",
          "[damper][run]") {
    const damper::SetUp setup = samples::fork();
    const damper::Model model(setup, samples::bending_laws(setup));
    damper::MeasuredRun run{MeasuredForce::damping, {}};
    for (const double speed : {-1.0, -0.3, 0.5})
        run.points.push_back({speed, damper::steady_point(model, speed, 0.1).damping_force, 1});
    const damper::Deviations none = damper::deviations(model, run, 0.1, damper::RodInto::atmosphere);
    CHECK(none.rms == 0.0);

    run.points[0].force += 30.0;
    run.points[2].force -= 60.0;
    const damper::Deviations some = damper::deviations(model, run, 0.1, damper::RodInto::atmosphere);
    CHECK_THAT(*some.mean, WithinRel(-10.0, 1e-10));
    CHECK_THAT(*some.rms, WithinRel(std::sqrt(1500.0), 1e-10)); // (900 + 0 + 3600)/3
    CHECK(some.worst == 2U);
    double squares = 0.0;
    for (const damper::MeasuredPoint& point : run.points)
        squares += point.force * point.force;
    CHECK_THAT(*some.rms_share, WithinRel(std::sqrt(4500.0 / squares), 1e-10)); // of the measured

    run.kind = MeasuredForce::rod;
    const damper::Deviations of_rod = damper::deviations(model, run, 0.1, damper::RodInto::atmosphere);
    const double at_rest = damper::steady_point(model, 0.0, 0.1).static_force;
    CHECK_THAT(*of_rod.points[1].difference(), WithinRel(-at_rest, 1e-9)); // of two forces of tens of newtons
}

TEST_CASE("a speed without prediction is left out of the sums and says why", "[damper][run]") {
    const damper::SetUp setup = samples::fork();
    const damper::Model model(setup, samples::bending_laws(setup));
    const double force = damper::steady_point(model, -1.0, 0.1).force;
    const damper::MeasuredRun run{MeasuredForce::rod, {{-90.0, -5e4, 1}, {-1.0, force + 10.0, 1}}};
    const damper::Deviations found = damper::deviations(model, run, 0.1, damper::RodInto::atmosphere);
    CHECK(found.points[0].error);
    CHECK_FALSE(found.points[0].difference());
    CHECK_THAT(*found.mean, WithinRel(10.0, 1e-9));
    CHECK(found.worst == 1U);
}
