#include <valve/study/comparison.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <stdexcept>
#include <utility>

namespace valve::study {

namespace {

/// Headlines of set-ups, each distinct one solved once.
class Solver {
public:
    Solver(EvaluateOptions options, std::vector<FigureRequest> requests, damper::LiftCache& lifts)
        : m_options(options), m_requests(std::move(requests)), m_lifts(lifts) {}

    Evaluation evaluation(const damper::SetUp& unit) const { return {unit, m_options, m_lifts}; }

    Headline solve(Evaluation& of) {
        damper::SetUp unit = of.unit();
        unit.title.clear(); // it changes no figure
        const auto found = std::find_if(m_solved.begin(), m_solved.end(),
                                        [&](const auto& solved) { return solved.first == unit; });
        if (found != m_solved.end()) return found->second;
        return m_solved.emplace_back(std::move(unit), headline(of, m_requests)).second;
    }

    Headline solve(const damper::SetUp& unit) {
        Evaluation of = evaluation(unit);
        return solve(of);
    }

private:
    EvaluateOptions m_options;
    std::vector<FigureRequest> m_requests;
    damper::LiftCache& m_lifts;
    std::vector<std::pair<damper::SetUp, Headline>> m_solved;
};

/// A headline of `to` with one difference to `from` undone; none where that cannot be read or solved, since
/// the other values need this one.
std::optional<Headline> without(const setup::Difference& difference, const setup::Document& from,
                                const setup::Document& to, Solver& solver) {
    try {
        const setup::Document document = setup::undone(to, from, difference);
        const setup::Reading reading = setup::read(document);
        return solver.solve(unit_of(document.path(), reading));
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

/// What all set-ups are asked at: the hit and the heavy load of the first.
EvaluateOptions common(EvaluateOptions options, const damper::SetUp& first, const HeadlineParts& parts,
                       damper::LiftCache& lifts) {
    if (!parts.support) return options;
    Evaluation of(first, options, lifts);
    options.hit = of.hit();
    options.heavy_load = of.heavy_load();
    return options;
}

} // namespace

bool Comparison::failed() const {
    return std::any_of(setups.begin(), setups.end(), [](const Entry& entry) {
        return entry.headline.failed() || (entry.measured && entry.measured->failed());
    });
}

Comparison compare(const std::vector<setup::Document>& documents, const CompareOptions& options,
                   damper::LiftCache& lifts) {
    if (documents.size() < 2) throw std::invalid_argument("compare: fewer than two set-ups");
    Comparison comparison;
    for (const setup::Document& document : documents) {
        comparison.setups.push_back({document.path(), setup::read(document)});
        unit_of(document.path(), comparison.setups.back().reading); // all are read before any is solved
    }
    std::vector<const setup::Reading*> readings;
    for (const Comparison::Entry& entry : comparison.setups)
        readings.push_back(&entry.reading);
    const HeadlineParts parts = parts_of(readings);
    Solver solver(common(options.at, *comparison.setups.front().reading.unit, parts, lifts),
                  headline_requests(parts), lifts);
    for (Comparison::Entry& entry : comparison.setups) {
        Evaluation of = solver.evaluation(*entry.reading.unit);
        entry.headline = solver.solve(of);
        entry.warnings = shim_warnings(of.search(), lifts);
        if (options.run) entry.measured = beside(*options.run, of.model(), of.travel(), options.at.rod_into);
    }
    for (std::size_t i = 1; i < documents.size(); ++i) {
        comparison.variants.push_back(explained(documents.front(), comparison.setups.front().headline,
                                                documents[i], comparison.setups[i].headline, solver));
    }
    return comparison;
}

} // namespace valve::study
