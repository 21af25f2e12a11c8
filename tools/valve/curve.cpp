#include <valve/damper/lift_cache.hpp>
#include <valve/report/balance_map.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/family.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/wear.hpp>

#include <functional>
#include <memory>
#include <utility>

#include "command.hpp"
#include "sweep.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::string file;
    PositionOptions position;
    std::vector<double> speeds;            // [m/s]
    std::vector<std::string> sweeps;       // several make a grid
    std::vector<std::string> temperatures; // of the oil, with units or in °C
    bool wear = false;
    std::vector<double> multiples; // of wear
    std::vector<double> travels;   // of the map [m]
    std::optional<double> lead_at; // [m/s]
    MeasuredOptions measured;

    valve::damper::CurveOptions asked() const {
        return {speeds, position.travel, position.rod_into, position.top_speed};
    }
};

using valve::report::Json;

/// A result in the form asked for; only that one is made.
void answer(const Options& options, Outcome& outcome, bool failed, const std::function<Json()>& json,
            const std::function<Json()>& points, const std::function<std::string()>& text) {
    if (failed) outcome.status = no_solution;
    outcome.text = options.json  ? valve::report::written(json())
                   : options.csv ? valve::report::csv(points())
                                 : text();
}

void run_sweep(const Options& options, Outcome& outcome) {
    const Variants variants = variants_of(options.file, options, options.sweeps, options.temperatures);
    valve::damper::LiftCache lifts(options.follow);
    const valve::study::CurveFamily family = valve::study::curve_family(
        variants.sweep, documents_of(options.file, options, variants), options.asked(), lifts);
    say_left_out(family.sweep.name, family.left_out);
    std::vector<std::string> warnings;
    for (const valve::study::CurveResult& member : family.members)
        warnings.insert(warnings.end(), member.reading.warnings.begin(), member.reading.warnings.end());
    say_once(warnings);
    answer(
        options, outcome, family.failed(), [&] { return valve::report::json(family); },
        [&] { return valve::report::points(family); }, [&] { return valve::report::text(family); });
}

void run_wear(const Options& options, Outcome& outcome) {
    const std::vector<double> multiples =
        options.multiples.empty() ? valve::study::wear_multiples() : options.multiples;
    valve::damper::LiftCache lifts(options.follow);
    const valve::setup::Reading reading = read_and_warn(load(options.file, options));
    const valve::study::WearStudy wear = asked_by(options.multiples.empty() ? "--wear" : "--wear-to", [&] {
        return valve::study::wear_study(options.file, reading, options.asked(), multiples, lifts);
    });
    answer(
        options, outcome, wear.failed(), [&] { return valve::report::json(wear); },
        [&] { return valve::report::points(wear); }, [&] { return valve::report::text(wear); });
}

void run_map(const Options& options, Outcome& outcome) {
    valve::study::BalanceMapOptions asked{
        options.speeds, {}, options.position.rod_into, options.position.top_speed};
    asked.travels = options.travels;
    if (options.lead_at) asked.lead_at = *options.lead_at;
    valve::damper::LiftCache lifts(options.follow);
    const valve::setup::Reading reading = read_and_warn(load(options.file, options));
    if (reading.unit) require_travels("--travels", options.travels, *reading.unit);
    const valve::study::BalanceMap map = valve::study::balance_map(options.file, reading, asked, lifts);
    answer(
        options, outcome, map.failed(), [&] { return valve::report::json(map); },
        [&] { return valve::report::points(map); }, [&] { return valve::report::text(map); });
}

void run_curve(const Options& options, Outcome& outcome) {
    valve::damper::LiftCache lifts(options.follow);
    const valve::study::CurveResult result =
        valve::study::curve_result(options.file, read_and_warn(load(options.file, options)), options.asked(),
                                   lifts, options.measured.run());
    answer(
        options, outcome, result.failed(), [&] { return valve::report::json(result); },
        [&] {
            return result.measured ? valve::report::points(*result.measured)
                                   : valve::report::json(result).at("points");
        },
        [&] { return valve::report::text(result); });
}

/// Throws UsageError for numbers that cannot be meant.
void check_numbers(const Options& options) {
    require_within("--speeds", options.speeds, asked_speeds);
    require_within("--travels", options.travels, asked_travels);
    options.position.check_on({options.file}, options);
    if (options.lead_at)
        require_within("--lead-at", {*options.lead_at},
                       valve::above_zero_to(valve::damper::fastest_rod, "m/s"));
    require_within("--wear-to", options.multiples, valve::above_zero_to(100.0, ""));
}

void run(const Options& options, Outcome& outcome) {
    check_numbers(options);
    const bool is_map = !options.travels.empty();
    const bool is_wear = options.wear || !options.multiples.empty();
    const bool is_sweep = !options.sweeps.empty() || !options.temperatures.empty();
    if (options.lead_at && !is_map) throw UsageError("--lead-at: belongs to --travels");
    if (is_map && options.position.travel) throw UsageError("--travels: give this or --travel, not both");
    if (is_map + is_wear + is_sweep > 1)
        throw UsageError("give one of --sweep, --temperatures, --wear and --travels");
    if ((is_map || is_wear || is_sweep) && options.measured.run())
        throw UsageError("--measured: lays over one curve, not over several");
    if (is_map) return run_map(options, outcome);
    if (is_wear) return run_wear(options, outcome);
    if (is_sweep) return run_sweep(options, outcome);
    run_curve(options, outcome);
}

} // namespace

void add_curve(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command("curve", "Force and every pressure against rod speed, both ways");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    command
        .add_quantities(
            "--speeds", options->speeds, "m/s",
            "Rod speeds [m/s], rebound negative: --speeds=-2,-1,1,2; default: 0.02 to 4 both ways")
        .option_text("M/S,…");
    command
        .add_option("--sweep", options->sweeps,
                    "A family of curves: an adjuster at several settings, as in --sweep "
                    "base.compression=0,8,16, or any key: --sweep 'support.leg.oil=360 ml,390 ml'; "
                    "repeated, every setting of one with every setting of the other")
        .option_text("NAME=V,V,…");
    command
        .add_list("--temperatures", options->temperatures,
                  "A family of curves: the oil at several temperatures [C], as in "
                  "--temperatures=-10,20,60,120")
        .option_text("C,…");
    command
        .add_flag("--wear", options->wear,
                  "A family of curves: as in the file, and with the ring's gap and the friction of the "
                  "reservoir's seal at multiples of the file's values")
        .option_text(" ");
    command
        .add_quantities("--wear-to", options->multiples, "",
                        "These multiples, as in --wear-to 1.5,2,4; default of --wear: 2 and 3")
        .option_text("X,…");
    command
        .add_quantities(
            "--travels", options->travels, "mm",
            "A map of the balance over speed and these travels [mm], as in --travels "
            "10,75,150,225,290: margin, share, headroom, voids, and which single change would let "
            "the base valve lead")
        .option_text("MM,…");
    command
        .add_quantity("--lead-at", options->lead_at, "m/s",
                      "Rod speed at which the base valve should lead, for --travels [m/s]; default: 3")
        .option_text("M/S");
    add_measured(command, options->measured);
    add_position(command, options->position);
    add_common(command, *options, true);
    add_theory(command, *options);
    add_shape(command, *options);
    command.set_footer(
        "  valve curve stacks/rally-fork.yaml --speeds=-2,-1,-0.1,0.1,1,2 --clicks piston.rebound=6\n"
        "  valve curve stacks/rally-shock.yaml --sweep base.compression.float=0,1,2,3,4\n"
        "  valve curve stacks/rally-fork.yaml --sweep damper.ring_leak.gap=0.02,0.04,0.06 --speeds=-1,1\n"
        "  valve curve stacks/rally-fork.yaml --wear\n"
        "  valve curve stacks/rally-fork.yaml --travels 10,75,150,225,290 --lead-at 3\n"
        "With a measured run: --measured stacks/rally-fork-run.csv --columns speed=-velocity,damping=-load\n"
        "Read the first lines first: from which rod speed a chamber runs empty. Then the refill deficit\n"
        "on rebound and the balance margin on compression; the forces come last.",
        "Forces are those of one damper at steady speed. A prediction is no test ride: go up in small "
        "steps.\n"
        "Release gas and spring load as the maker's manual says before you open a damper.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
