#include <valve/core/detail/parallel.hpp>
#include <valve/setup/told_difference.hpp>
#include <valve/study/comparison.hpp>
#include <valve/study/counts_in.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <utility>

namespace valve::study {

namespace {

/// Headlines of set-ups, each distinct one solved once.
class Solver {
public:
    Solver(EvaluateOptions options, std::vector<FigureRequest> requests, damper::LiftCache& lifts)
        : m_options(options), m_requests(std::move(requests)), m_lifts(lifts) {}

    /// That of a reading, or of one that says the same but for the title.
    Evaluation& evaluation(const setup::Reading& reading) { return *m_solved[place_of(reading)].evaluation; }

    /// By reading, in order; none where there is none, or where it fails and `may_fail`.
    std::vector<std::optional<Headline>> solve(const std::vector<const setup::Reading*>& readings,
                                               bool may_fail) {
        std::vector<std::size_t> index(readings.size(), 0);
        const std::size_t before = m_solved.size();
        for (std::size_t i = 0; i < readings.size(); ++i)
            if (readings[i] != nullptr) index[i] = place_of(*readings[i]);
        for_each_index(m_solved.size() - before, [&](std::size_t i) {
            Solved& one = m_solved[before + i];
            try {
                one.headline = headline(*one.evaluation, m_requests);
            } catch (const Error&) {
                if (!may_fail) throw;
            }
        });
        std::vector<std::optional<Headline>> list;
        for (std::size_t i = 0; i < readings.size(); ++i)
            list.push_back(readings[i] == nullptr ? std::nullopt : m_solved[index[i]].headline);
        return list;
    }

private:
    struct Solved {
        std::unique_ptr<const setup::Reading> reading;
        std::unique_ptr<Evaluation> evaluation; // of it
        std::optional<Headline> headline = std::nullopt;
    };

    /// Where its headline is, or is going to be.
    std::size_t place_of(const setup::Reading& reading) {
        damper::SetUp unit = reading.unit.value();
        for (std::size_t i = 0; i < m_solved.size(); ++i) {
            unit.title = m_solved[i].reading->unit->title; // it changes no figure
            if (*m_solved[i].reading->unit == unit && m_solved[i].reading->vehicle == reading.vehicle)
                return i;
        }
        auto kept = std::make_unique<const setup::Reading>(reading);
        auto evaluation = std::make_unique<Evaluation>(*kept, m_options, m_lifts);
        m_solved.push_back({std::move(kept), std::move(evaluation)});
        return m_solved.size() - 1;
    }

    EvaluateOptions m_options;
    std::vector<FigureRequest> m_requests;
    damper::LiftCache& m_lifts;
    std::vector<Solved> m_solved;
};

/// `to` with each difference to `from` undone; none where that cannot be read, since the other values need
/// this one.
std::vector<std::optional<setup::Reading>> without(const std::vector<setup::Difference>& differences,
                                                   const setup::Document& from, const setup::Document& to) {
    std::vector<std::optional<setup::Reading>> list;
    for (const setup::Difference& difference : differences) {
        try {
            const setup::Document document = setup::undone(to, from, difference);
            setup::Reading reading = setup::read(document);
            unit_of(document.path(), reading);
            list.emplace_back(std::move(reading));
        } catch (const Error&) {
            list.emplace_back();
        }
    }
    return list;
}

std::vector<std::optional<Headline>> headlines(const std::vector<std::optional<setup::Reading>>& readings,
                                               Solver& solver) {
    std::vector<const setup::Reading*> list;
    for (const std::optional<setup::Reading>& reading : readings)
        list.push_back(reading ? &*reading : nullptr);
    return solver.solve(list, true);
}

Variant explained(const setup::Document& reference, const Headline& from, const setup::Document& variant,
                  const Headline& to, Solver& solver) {
    const std::vector<setup::Difference> differences = setup::real_differences(reference, variant);
    std::vector<Trial> trials;
    const std::vector<std::optional<Headline>> undone =
        headlines(without(differences, reference, variant), solver);
    for (std::size_t i = 0; i < differences.size(); ++i)
        trials.push_back({differences[i].key, undone[i], std::nullopt});
    const std::vector<setup::Difference> told = setup::told_differences(reference, variant);
    const auto attributed = [&] {
        Variant result = attribute(from, to, differences, trials);
        result.told = told;
        return result;
    };
    Variant result = attributed();
    if (std::none_of(result.changes.begin(), result.changes.end(),
                     [](const Change& change) { return change.cause == Cause::unclear; }))
        return result;

    // Seen from the variant, the reference with one difference undone is the reference with that change
    // alone.
    const std::vector<setup::Difference> backwards = setup::differences(variant, reference);
    const std::vector<std::optional<Headline>> applied =
        headlines(without(backwards, variant, reference), solver);
    for (Trial& trial : trials)
        for (std::size_t i = 0; i < backwards.size(); ++i)
            if (backwards[i].key == trial.key) trial.applied = applied[i];
    return attributed();
}

/// Of the differences told, those that nothing rests on that is asked.
std::vector<setup::Difference> not_asked(const Variant& variant, const CompareOptions& options) {
    std::vector<setup::Difference> list;
    for (std::size_t i = 0; i < variant.differences.size(); ++i) {
        const CountsIn counts = counts_in(variant.differences[i]);
        const bool is_asked = counts == CountsIn::all || !options.events.empty() ||
                              (counts == CountsIn::time && !options.frequencies.empty());
        if (!is_asked) list.push_back(variant.told.at(i));
    }
    return list;
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
    for (const Comparison::Entry& entry : comparison.setups)
        require_rides(entry.file, entry.reading, options.events);
    const HeadlineParts parts = parts_of(readings);
    Solver solver(common(options.at, *comparison.setups.front().reading.unit, parts, lifts),
                  headline_requests(parts, options.frequencies, options.events), lifts);
    const std::vector<std::optional<Headline>> solved = solver.solve(readings, false);
    for (std::size_t i = 0; i < comparison.setups.size(); ++i) {
        Comparison::Entry& entry = comparison.setups[i];
        entry.headline = solved[i].value();
        Evaluation& of = solver.evaluation(entry.reading);
        entry.warnings = shim_warnings(of.search(), lifts);
        entry.not_round = unevenness(of.search(), lifts);
        if (options.run) entry.measured = beside(*options.run, of.model(), of.travel(), options.at.rod_into);
    }
    for (std::size_t i = 1; i < documents.size(); ++i) {
        comparison.variants.push_back(explained(documents.front(), comparison.setups.front().headline,
                                                documents[i], comparison.setups[i].headline, solver));
        comparison.variants.back().not_asked = not_asked(comparison.variants.back(), options);
    }
    return comparison;
}

} // namespace valve::study
