#include <speed/clock.hpp>
#include <speed/rows.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/damper/steady.hpp>
#include <valve/flow/leak.hpp>
#include <valve/setup/document.hpp>
#include <valve/stack/detail/problem.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <fstream>
#include <numbers>
#include <utility>

namespace valve::validation::speed {
namespace {

using nlohmann::json;

constexpr const char* input = VALVE_SPEED_FOLDER "/fork.json";
constexpr const char* output = VALVE_SPEED_FOLDER "/forces.json";

/// Share of the largest force to which both must agree: both interpolate lifts computed to 1e-3.
constexpr double tolerance = 1e-3;

/// What the script takes for one plate.
enum class Plates { shims, leaves };

/// The list of shims, with how many equal ones each entry stands for.
json shims_of(const std::vector<stack::Shim>& shims, Plates plates) {
    json list = json::array();
    for (std::size_t i = 0; i < shims.size(); ++i) {
        if (plates == Plates::leaves && i > 0 && shims[i] == shims[i - 1])
            list.back()["count"] = list.back()["count"].get<int>() + 1;
        else
            list.push_back(
                {{"outer", shims[i].outer_radius}, {"thickness", shims[i].thickness}, {"count", 1}});
    }
    return list;
}

json stack_of(const stack::Stack& given, stack::Theory theory, Plates plates) {
    const stack::Problem problem(given, theory, plate::Grading{});
    const stack::Stack& stack = problem.stack(); // moved to the mesh's nodes
    json nodes = json::array();
    for (int k = 0; k < problem.stations(); ++k)
        nodes.push_back(problem.radius(k));
    json result{{"nodes", nodes},
                {"shims", shims_of(stack.shims, plates)},
                {"clamp", stack.clamp_radius},
                {"E", stack.shims.front().material.youngs_modulus},
                {"nu", stack.shims.front().material.poisson_ratio},
                {"zone_inner", stack.zone.inner_radius},
                {"seat_inner", stack.seat.inner_radius},
                {"seat_outer", stack.seat.outer_radius},
                {"seat_height", stack.seat.height},
                {"coverage", stack.coverage},
                {"free_edge", stack.edge == stack::InnerEdge::free},
                {"large_deflection", theory == stack::Theory::large_deflection},
                {"floating", nullptr}};
    if (stack.floating)
        result["floating"] = {{"travel", stack.floating->travel},
                              {"rate", stack.floating->spring_rate},
                              {"preload", stack.floating->preload},
                              {"ring", stack.floating->ring_radius},
                              {"spring", stack.floating->spring_radius},
                              {"stop", stack.floating->stop_radius},
                              {"rests_on_hub", stack.floating->rests_on == stack::RestsOn::hub}};
    return result;
}

json valve_of(const flow::Valve& valve, stack::Theory theory, Plates plates) {
    const flow::Opening ports = flow::opening(valve.ports);
    return {{"stack", stack_of(valve.stack, theory, plates)},
            {"ports_area", ports.area},
            {"port_diameter", ports.hydraulic_diameter},
            {"port_discharge", valve.discharge.port},
            {"port_transition", valve.discharge.port_transition},
            {"curtain_length",
             valve.curtain_length.value_or(2.0 * std::numbers::pi * valve.stack.seat.inner_radius)},
            {"curtain_discharge", valve.discharge.curtain},
            {"curtain_transition", valve.discharge.curtain_transition},
            {"jet_force", valve.jet_force}};
}

/// What the script needs of a set-up with four bending stacks, at mid travel.
json script_input(const damper::SetUp& setup, const damper::Model& model, const std::vector<double>& speeds,
                  const stack::FollowOptions& options, Plates plates) {
    const double travel = 0.5 * setup.cartridge.travel;
    const damper::RingLeak& ring = setup.cartridge.ring_leak.value();
    json given{{"highest", options.max_pressure},
               {"speeds", speeds},
               {"oil", {{"rho", model.oil().density}, {"nu", model.oil().kinematic_viscosity}}},
               {"damper",
                {{"A_p", model.piston_area()},
                 {"A_r", model.rod_area()},
                 {"p_S0", model.reservoir().pressure(travel, model.rod_area() * travel)},
                 {"friction", model.reservoir().friction_pressure()},
                 {"p_ext", model.external_pressure(travel, damper::RodInto::atmosphere)},
                 {"p_cav", model.oil().cavitation_pressure},
                 {"leak", flow::leak_conductance({.diameter = setup.cartridge.bore,
                                                  .gap = ring.gap,
                                                  .length = ring.length,
                                                  .eccentricity = ring.eccentricity},
                                                 model.oil().dynamic_viscosity())}}},
               {"bleeds", {{"base", json::array()}, {"piston", json::array()}}}};
    for (const damper::Place place : damper::all_places) {
        const std::string name(damper::name(place));
        const flow::Valve& valve = setup.valves[place].value();
        given["valves"][name] = valve_of(valve, options.theory, plates);
        if (!valve.bleed) continue;
        if (const std::optional<flow::Opening> bleed = flow::opening(*valve.bleed))
            given["bleeds"][name.substr(0, name.find('.'))].push_back(
                {{"area", bleed->area},
                 {"diameter", bleed->hydraulic_diameter},
                 {"discharge", valve.discharge.bleed},
                 {"transition", valve.discharge.bleed_transition}});
    }
    return given;
}

std::vector<double> speeds() {
    constexpr int each_way = 100;
    std::vector<double> result;
    for (int i = 1; i <= each_way; ++i)
        for (const double sign : {-1.0, 1.0})
            result.push_back(sign * 4.0 * i / each_way);
    return result;
}

void compare(Section& section, const damper::SetUp& setup, stack::Theory theory, Plates plates) {
    stack::FollowOptions options{theory};
    options.shape = stack::Shape::round; // which is what the script solves
    const std::vector<double> rod_speeds = speeds();
    std::vector<double> forces;
    std::size_t points = 0;
    auto ours = [&] {
        damper::LiftCache lifts(options);
        const damper::Model model = lifts.model(setup);
        forces.clear();
        for (const double speed : rod_speeds)
            forces.push_back(damper::steady_point(model, speed, 0.5 * setup.cartridge.travel).force);
        points = 0;
        for (const damper::Place place : damper::all_places)
            points += lifts.curve(setup.valves[place]->stack).points.size();
    };
    damper::LiftCache lifts(options);
    std::ofstream(input) << script_input(setup, lifts.model(setup), rod_speeds, options, plates);

    std::vector<double> our_times;
    std::vector<double> their_times;
    json solved;
    for (int i = 0; i < 3; ++i) {
        our_times.push_back(time_of(ours));
        time_of_command(fmt::format("OMP_NUM_THREADS=1 OPENBLAS_NUM_THREADS=1 {} {} {} {}", VALVE_PYTHON,
                                    VALVE_SPEED_SCRIPT, input, output));
        std::ifstream file(output);
        solved = json::parse(file);
        their_times.push_back(solved.at("time").get<double>());
    }
    double worst = 0.0;
    double largest = 0.0;
    for (std::size_t i = 0; i < forces.size(); ++i) {
        worst = std::max(worst, std::abs(forces[i] - solved.at("forces").at(i).get<double>()));
        largest = std::max(largest, std::abs(forces[i]));
    }
    int their_points = 0;
    for (const json& count : solved.at("points"))
        their_points += count.get<int>();
    const std::string what =
        fmt::format("{}, {}", theory == stack::Theory::linear ? "linear" : "large deflection",
                    plates == Plates::shims ? "a plate each shim" : "a plate each leaf");
    section.rows.push_back({fmt::format("{}: times faster", what), median(their_times) / median(our_times),
                            Row::Goal::more_than, 200.0});
    section.rows.push_back(
        {fmt::format("{}: forces differ", what), worst / largest, Row::Goal::at_most, tolerance});
    section.notes.push_back(fmt::format("{}: the script {:.2f} s for {} states, ours {:.3f} s for {} points "
                                        "with events and stresses; medians of 3.",
                                        what, median(their_times), their_points, median(our_times), points));
}

} // namespace

Section against_script() {
    Section section{"Demo fork, four valves and 200 speeds from cold, beside a script on NumPy and SciPy"};
    const setup::Document document = setup::Document::load(VALVE_DEMO_FORK);
    const setup::Reading reading = setup::read(document);
    const damper::SetUp& setup = study::unit_of(VALVE_DEMO_FORK, reading);
    for (const stack::Theory theory : {stack::Theory::large_deflection, stack::Theory::linear})
        for (const Plates plates : {Plates::shims, Plates::leaves})
            compare(section, setup, theory, plates);
    section.notes.push_back(
        "Without the start of Python and its imports. Forces differ by a share of the largest.");
    return section;
}

} // namespace valve::validation::speed
