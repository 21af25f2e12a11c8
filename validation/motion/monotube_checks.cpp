#include <frame/numbers.hpp>
#include <motion/monotube.hpp>
#include <motion/parts.hpp>
#include <valve/core/constants.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

namespace valve::validation {

void monotube_checks(Recorder& recorder) {
    const damper::Model model = monotube();
    const motion::Input input = motion::Input::sine(0.05, 0.05, 2.0);
    motion::CycleOptions options;
    options.samples = 80;
    options.least_loops = 4;
    const motion::Cycle cycle = run_cycle(model, {}, input, options);

    const Source source{
        "", "the two pressures' equations with a constant bulk modulus and a fourth-root orifice, by "
            "SciPy's Radau at 1e-9; times of the second cycle from the middle of the stroke"};
    const double outside = model.rod_area() * (p_atm - 1e5); // the reference's atmosphere is 1 bar
    struct Row {
        double time, p_C, p_R, force;
    };
    for (const Row row : std::vector<Row>{{0.5000, 1000230, 551072, 508.203},
                                          {0.5625, 1053120, 827616, 311.827},
                                          {0.6250, 1076195, 1076193, 110.406},
                                          {0.6875, 1052202, 1275920, -94.723},
                                          {0.7500, 998622, 1447781, -304.757},
                                          {0.8750, 931611, 931612, 94.052}}) {
        const double since_outer_end = row.time - 0.5 + 0.125;
        const auto sample = static_cast<std::size_t>(std::lround(since_outer_end * 160.0));
        const motion::Moment& moment = cycle.series.at(sample);
        // The reference passes the same volume out of one chamber and into the other, whatever their
        // pressures, and so loses some Δp/K = 3e-4 of what passes: 13.5 mm³ of gas room a stroke, 340 Pa.
        const auto check = [&](const char* what, double expected, double got, double within,
                               const char* unit) {
            recorder.add({fmt::format("monotube with an orifice, {:g} s: {}", row.time, what), source,
                          Kind::computed_reference, expected, got,
                          absolute(within, "the reference balances volumes, not masses"), unit});
        };
        check("pressure behind the piston", row.p_C, moment.p_C, 800.0, "Pa");
        check("pressure round the rod", row.p_R, moment.p_R, 1600.0, "Pa");
        check("force", row.force, moment.force + outside, 0.8, "N");
        const auto by_masses = [&](const std::string& what, double got) {
            const std::string key = fmt::format("{} at {:g} s", what, row.time);
            recorder.add({"monotube with an orifice, by masses: " + key,
                          {"", "the same equations with masses in balance, references/motion.py"},
                          Kind::computed_reference,
                          numbers("motion").at("monotube", key),
                          got,
                          relative(1e-5, "the two orifice laws near zero"),
                          "Pa"});
        };
        by_masses("p_C", moment.p_C);
        by_masses("p_R", moment.p_R);
    }
    recorder.add({"monotube with an orifice: energy of a cycle", source, Kind::computed_reference, 27.0985,
                  cycle.work, relative(1.5e-3, "the reference balances volumes, not masses"), "J"});
}

} // namespace valve::validation
