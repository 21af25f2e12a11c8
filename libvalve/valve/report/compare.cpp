#include <valve/report/comparison.hpp>
#include <valve/report/reading.hpp>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace valve::report {

namespace {

/// Headlines of set-ups, each distinct one solved once.
class Solver {
public:
    Solver(const CompareOptions& options, damper::LiftCache& lifts) : m_lifts(lifts) {
        m_options.travel = options.travel;
        m_options.rod_into = options.rod_into;
        m_options.top_speed = options.top_speed;
        m_options.speeds = headline_speeds(options.top_speed);
    }

    Headline solve(damper::SetUp setup) {
        setup.title.clear(); // it changes no figure
        const auto found = std::find_if(m_solved.begin(), m_solved.end(),
                                        [&](const auto& solved) { return solved.first == setup; });
        if (found != m_solved.end()) return found->second;
        const damper::Curve curve = damper::steady_curve(m_lifts.model(setup), m_options);
        return m_solved.emplace_back(std::move(setup), headline(curve, m_options.top_speed)).second;
    }

private:
    damper::CurveOptions m_options;
    damper::LiftCache& m_lifts;
    std::vector<std::pair<damper::SetUp, Headline>> m_solved;
};

/// A headline of `to` with one difference to `from` undone; none where that cannot be read or solved, since
/// the other values need this one.
std::optional<Headline> without(const setup::Difference& difference, const setup::Document& from,
                                const setup::Document& to, Solver& solver) {
    try {
        const setup::Document document = setup::undone(to, from, difference);
        return solver.solve(unit_of(document.path(), setup::read(document)));
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
    Solver solver(options, lifts);
    Comparison comparison;
    for (const setup::Document& document : documents) {
        comparison.setups.push_back({document.path(), setup::read(document), {}});
        unit_of(document.path(), comparison.setups.back().reading); // all are read before any is solved
    }
    for (Comparison::Entry& entry : comparison.setups)
        entry.headline = solver.solve(unit_of(entry.file, entry.reading));
    for (std::size_t i = 1; i < documents.size(); ++i) {
        comparison.variants.push_back(explained(documents.front(), comparison.setups.front().headline,
                                                documents[i], comparison.setups[i].headline, solver));
    }
    return comparison;
}

} // namespace valve::report
