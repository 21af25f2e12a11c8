#include <valve/core/error.hpp>
#include <valve/damper/sag.hpp>
#include <valve/study/evaluation.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::study {

damper::Bounds room_for_cycles(const damper::SetUp& unit) {
    const double half = 0.5 * usual_stroke(unit);
    return {half, unit.cartridge.travel - half};
}

Evaluation::Evaluation(const damper::SetUp& unit, const EvaluateOptions& options, damper::LiftCache& lifts)
    : m_unit(unit), m_options(options), m_lifts(lifts) {}

Evaluation::Evaluation(const setup::Reading& reading, const EvaluateOptions& options,
                       damper::LiftCache& lifts)
    : Evaluation(reading.unit.value(), options, lifts) {
    if (reading.vehicle) m_vehicle = &*reading.vehicle;
}

Evaluation::Evaluation(const damper::SetUp& unit, const EvaluateOptions& options, damper::LiftCache& lifts,
                       damper::Model model)
    : Evaluation(unit, options, lifts) {
    m_model.emplace(std::move(model));
}

double Evaluation::travel() const {
    return m_options.travel.value_or(0.5 * m_unit.cartridge.travel);
}

const damper::Model& Evaluation::model() {
    if (!m_model) m_model.emplace(m_lifts.model(m_unit));
    return *m_model;
}

const damper::SteadyPoint& Evaluation::point(double speed, std::optional<double> travel_share) {
    const double at = travel_share ? *travel_share * m_unit.cartridge.travel : travel();
    const auto found = m_points.find({speed, at});
    if (found != m_points.end()) return found->second;
    return m_points
        .emplace(std::pair{speed, at}, damper::steady_point(model(), speed, at, m_options.rod_into))
        .first->second;
}

const damper::VoidOnset& Evaluation::voids() {
    if (!m_voids) m_voids = damper::find_void_onset(search());
    return *m_voids;
}

const damper::VoidOnset& Evaluation::voids_near_extension() {
    if (!m_voids_near_extension)
        m_voids_near_extension = damper::find_void_onset(
            model(), damper::near_extension * m_unit.cartridge.travel, m_options.top_speed);
    return *m_voids_near_extension;
}

const std::vector<damper::PortControl>& Evaluation::ports() {
    if (!m_ports) m_ports = damper::port_control(search());
    return *m_ports;
}

damper::OnsetSearch& Evaluation::search() {
    if (!m_search) m_search.emplace(model(), travel(), m_options.top_speed);
    return *m_search;
}

std::optional<double> Evaluation::passed_from(StripLimit limit) {
    const auto known = m_passed_from.find(limit);
    if (known != m_passed_from.end()) return known->second;
    return m_passed_from.emplace(limit, stress_onset(search(), limit, m_lifts)).first->second;
}

const CycleStudy& Evaluation::cycles(double frequency) {
    const auto found = m_cycles.find(frequency);
    if (found != m_cycles.end()) return found->second;
    CycleQuestion question;
    question.inputs = {motion::Input::sine(travel(), usual_stroke(m_unit), frequency)};
    question.rod_into = m_options.rod_into;
    CycleStudy study;
    try {
        study = cycle_study(m_unit, m_lifts, question);
    } catch (const InputError& error) { // there is no room for it: of this figure, not of the file
        throw SolveError(error.what());
    }
    if (study.cycles.front().error) throw SolveError(*study.cycles.front().error);
    return m_cycles.emplace(frequency, std::move(study)).first->second;
}

const RideFigures& Evaluation::ride(const RideEvent& event) {
    auto found = std::find_if(m_rides.begin(), m_rides.end(),
                              [&](const auto& ridden) { return ridden.first == event; });
    if (found == m_rides.end()) {
        if (m_vehicle == nullptr)
            throw InputError("vehicle: missing: a ride needs the mass of the wheel, e.g. vehicle: {unsprung: "
                             "16 kg}");
        static_cast<void>(load());
        RideQuestion question;
        question.sides.push_back({m_unit, std::nullopt, *m_vehicle});
        question.events = {event->event};
        question.valves = m_options.ride_valves;
        question.accuracy = m_options.ride_accuracy;
        RideFigures ridden;
        try {
            ridden = std::move(ride_study(question, m_lifts).front());
        } catch (const InputError& error) { // it does not stand on this ground
            ridden.error = error.what();
        }
        ridden.ride.series.clear();
        found = m_rides.insert(m_rides.end(), {event, std::move(ridden)});
    }
    if (found->second.error) throw SolveError(event->event.title + ": " + *found->second.error);
    return found->second;
}

const damper::SupportLaw& Evaluation::support() {
    if (!m_support) m_support.emplace(m_unit);
    return *m_support;
}

const damper::Load& Evaluation::load() const {
    if (!m_unit.support || !m_unit.support->load)
        throw InputError("support.load: missing: what the wheel carries");
    return *m_unit.support->load;
}

double Evaluation::hit() {
    if (m_options.hit) return *m_options.hit;
    return usual_hit * support().at(support().travel()).energy;
}

double Evaluation::heavy_load() {
    if (m_options.heavy_load) return *m_options.heavy_load;
    return support().at(near_end * support().travel()).force;
}

namespace {

/// What the run behind a figure tells beside its value.
void add_cautions(Figure& figure, Evaluation& of) {
    if (figure.quantity == Quantity::hit_travel) {
        const double left = damper::energy_left(of.support(), of.hit(), of.support().friction());
        if (left > 0.0) figure.energy_left = left;
    }
    if (figure.event) {
        const RideFigures& ride = of.ride(figure.event);
        figure.swings = !ride.swinging.empty();
        if (figure.quantity == Quantity::ride_dead_travel_compression)
            figure.reversals = {ride.compression.count, ride.compression.not_back};
        if (figure.quantity == Quantity::ride_dead_travel_rebound)
            figure.reversals = {ride.rebound.count, ride.rebound.not_back};
    }
    if (!figure.frequency) return;
    const CycleFigures& cycle = of.cycle(*figure.frequency);
    figure.swings = cycle.swings_tell();
    if (figure.quantity == Quantity::dead_travel_compression)
        figure.but_for_dips = cycle.but_for_dips_compression;
    if (figure.quantity == Quantity::dead_travel_rebound) figure.but_for_dips = cycle.but_for_dips_rebound;
}

} // namespace

Figure evaluate(Evaluation& of, const FigureRequest& request) {
    check(request);
    const FigureKind& kind = kind_of(request.quantity);
    Figure figure{request.quantity,     request.speed,     std::nullopt, "",
                  request.travel_share, request.frequency, request.event};
    try {
        figure.value = kind.value(of, request);
        add_cautions(figure, of);
    } catch (const SolveError& error) {
        figure.error = error.what();
        return figure;
    }
    if ((figure.value && !std::isfinite(*figure.value)) ||
        (!figure.value && !kind.is_onset && kind.if_none.empty())) {
        figure.value.reset();
        figure.error = "no finite value";
    }
    return figure;
}

Figure evaluate(const damper::SetUp& unit, const FigureRequest& request, const EvaluateOptions& options,
                damper::LiftCache& lifts) {
    Evaluation of(unit, options, lifts);
    return evaluate(of, request);
}

} // namespace valve::study
