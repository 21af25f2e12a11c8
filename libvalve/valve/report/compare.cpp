#include <valve/report/comparison.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace valve::report {

namespace {

/// What can be said of the static support of every set-up.
enum class SupportPart { none, without_sag, with_sag };

SupportPart support_part(const std::vector<Comparison::Entry>& setups) {
    const auto all = [&](const auto& has) {
        return std::all_of(setups.begin(), setups.end(),
                           [&](const Comparison::Entry& entry) { return has(*entry.reading.unit); });
    };
    if (!all([](const damper::SetUp& unit) { return unit.support.has_value(); })) return SupportPart::none;
    return all([](const damper::SetUp& unit) { return unit.support->load.has_value(); })
               ? SupportPart::with_sag
               : SupportPart::without_sag;
}

/// Whether some set-up has a plug and a cup at an end of its stroke.
bool has_end_cups(const std::vector<Comparison::Entry>& setups) {
    return std::any_of(setups.begin(), setups.end(), [](const Comparison::Entry& entry) {
        const damper::Cartridge& cartridge = entry.reading.unit->cartridge;
        return cartridge.end_of_stroke || cartridge.top_out;
    });
}

/// Whether the strips of every set-up state what they bear.
bool all_state_limits(const std::vector<Comparison::Entry>& setups) {
    return std::all_of(setups.begin(), setups.end(),
                       [](const Comparison::Entry& entry) { return study::states_limits(entry.reading); });
}

/// Headlines of set-ups, each distinct one solved once.
class Solver {
public:
    Solver(const CompareOptions& options, const std::vector<Comparison::Entry>& setups,
           damper::LiftCache& lifts)
        : m_with_stress(all_state_limits(setups)), m_support(support_part(setups)),
          m_with_end_cups(has_end_cups(setups)), m_lifts(lifts) {
        m_options.travel = options.travel;
        m_options.rod_into = options.rod_into;
        m_options.top_speed = options.top_speed;
        m_options.speeds = headline_speeds(options.top_speed);
    }

    std::vector<study::Warning> warnings(const damper::SetUp& setup) {
        const damper::Model model = m_lifts.model(setup);
        damper::OnsetSearch search(model, m_options.travel.value_or(0.5 * setup.cartridge.travel),
                                   m_options.top_speed);
        return study::shim_warnings(search, m_lifts);
    }

    Headline solve(damper::SetUp setup) {
        setup.title.clear(); // it changes no figure
        const auto found = std::find_if(m_solved.begin(), m_solved.end(),
                                        [&](const auto& solved) { return solved.first == setup; });
        if (found != m_solved.end()) return found->second;
        const damper::Model model = m_lifts.model(setup);
        const damper::Curve curve = damper::steady_curve(model, m_options);
        Headline result = headline(curve, m_options.top_speed);
        if (m_with_end_cups) add_end_cups(result, model);
        damper::OnsetSearch search(model, curve.travel, m_options.top_speed);
        add_ports(result, damper::port_control(search));
        if (m_with_stress) add_stress(result, study::stress_onset(search, m_lifts));
        if (m_support != SupportPart::none) add_support(result, setup, m_support == SupportPart::with_sag);
        return m_solved.emplace_back(std::move(setup), std::move(result)).second;
    }

private:
    damper::CurveOptions m_options;
    bool m_with_stress;
    SupportPart m_support;
    bool m_with_end_cups;
    damper::LiftCache& m_lifts;
    std::vector<std::pair<damper::SetUp, Headline>> m_solved;
};

/// A headline of `to` with one difference to `from` undone; none where that cannot be read or solved, since
/// the other values need this one.
std::optional<Headline> without(const setup::Difference& difference, const setup::Document& from,
                                const setup::Document& to, Solver& solver) {
    try {
        const setup::Document document = setup::undone(to, from, difference);
        return solver.solve(study::unit_of(document.path(), setup::read(document)));
    } catch (const Error&) {
        return std::nullopt;
    }
}

Variant explained(const setup::Document& reference, const Headline& from, const setup::Document& variant,
                  const Headline& to, Solver& solver) {
    const std::vector<setup::Difference> differences = setup::differences(reference, variant);
    std::vector<Trial> trials;
    for (const setup::Difference& difference : differences)
        trials.push_back({difference.key, without(difference, reference, variant, solver), std::nullopt});
    Variant result = attribute(from, to, differences, trials);
    if (std::none_of(result.changes.begin(), result.changes.end(),
                     [](const Change& change) { return change.cause == Cause::unclear; }))
        return result;

    // Seen from the variant, the reference with one difference undone is the reference with that change
    // alone.
    std::vector<setup::Difference> backwards = setup::differences(variant, reference);
    for (Trial& trial : trials) {
        const auto same = std::find_if(backwards.begin(), backwards.end(),
                                       [&](const setup::Difference& d) { return d.key == trial.key; });
        if (same != backwards.end()) trial.applied = without(*same, variant, reference, solver);
    }
    return attribute(from, to, differences, trials);
}

} // namespace

Comparison compare(const std::vector<setup::Document>& documents, const CompareOptions& options,
                   damper::LiftCache& lifts) {
    if (documents.size() < 2) throw std::invalid_argument("compare: fewer than two set-ups");
    Comparison comparison;
    for (const setup::Document& document : documents) {
        comparison.setups.push_back({document.path(), setup::read(document), {}});
        study::unit_of(document.path(),
                       comparison.setups.back().reading); // all are read before any is solved
    }
    Solver solver(options, comparison.setups, lifts);
    for (Comparison::Entry& entry : comparison.setups) {
        const damper::SetUp& unit = study::unit_of(entry.file, entry.reading);
        entry.headline = solver.solve(unit);
        entry.shim_warnings = solver.warnings(unit);
        if (options.run)
            entry.measured =
                study::beside(*options.run, lifts.model(unit), entry.headline.travel, options.rod_into);
    }
    for (std::size_t i = 1; i < documents.size(); ++i) {
        comparison.variants.push_back(explained(documents.front(), comparison.setups.front().headline,
                                                documents[i], comparison.setups[i].headline, solver));
    }
    return comparison;
}

} // namespace valve::report
