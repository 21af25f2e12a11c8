#include <valve/core/error.hpp>
#include <valve/setup/search_part.hpp>
#include <valve/study/search_part.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace valve::study {

namespace {

/// Whether every number of a candidate is one of the lists of `question`.
bool belongs(const SearchQuestion& question, const Screened& one) {
    const std::vector<SearchValve>& valves = question.valves();
    if (one.candidate.piles.size() != valves.size() || one.candidate.fittings.size() != valves.size())
        return false;
    if (one.setting >= question.settings().size()) return false;
    for (std::size_t v = 0; v < valves.size(); ++v) {
        const Pile& pile = one.candidate.piles[v];
        const int sizes = static_cast<int>(question.sizes().size());
        if (pile.empty() == (valves[v].family != nullptr)) return false;
        if (std::any_of(pile.begin(), pile.end(), [&](int size) { return size >= sizes; })) return false;
        if (one.candidate.fittings[v] >= valves[v].fittings.size()) return false;
    }
    return true;
}

std::string name_of(std::uint64_t question) {
    return fmt::format("{:016x}", question);
}

} // namespace

std::string part_text(const SearchPart& part) {
    setup::SearchPartFile file;
    file.part = static_cast<int>(part.part);
    file.of = static_cast<int>(part.of);
    file.question = name_of(part.question);
    file.candidates = part.candidates;
    file.exhaustive = part.exhaustive;
    file.screened = static_cast<int>(part.screened);
    file.sampled = static_cast<int>(part.sampled);
    file.is_interrupted = part.is_interrupted;
    file.has_more = part.has_more;
    for (const Screened& one : part.best)
        file.best.push_back({one.candidate.piles,
                             {one.candidate.fittings.begin(), one.candidate.fittings.end()},
                             static_cast<int>(one.setting),
                             one.error,
                             one.changed});
    return file.text();
}

SearchPart load_part(const std::string& path, const SearchQuestion& question) {
    const setup::SearchPartFile file = setup::SearchPartFile::load(path);
    if (file.question != name_of(question.fingerprint()))
        throw InputError(path + ": a part of another search: files and options have to be the same");
    SearchPart part;
    part.part = static_cast<std::size_t>(file.part);
    part.of = static_cast<std::size_t>(file.of);
    part.question = question.fingerprint();
    part.candidates = file.candidates;
    part.exhaustive = file.exhaustive;
    part.screened = static_cast<std::size_t>(file.screened);
    part.sampled = static_cast<std::size_t>(file.sampled);
    part.is_interrupted = file.is_interrupted;
    part.has_more = file.has_more;
    for (const setup::SearchPartFile::Candidate& one : file.best) {
        Screened made{{one.stacks, {one.fittings.begin(), one.fittings.end()}},
                      static_cast<std::size_t>(one.setting),
                      one.error,
                      one.changed};
        if (!belongs(question, made))
            throw InputError(path + ": lists a stack that this search cannot build");
        made.swapped = question.swapped(made.candidate);
        made.opened = question.opened(made.candidate);
        made.springs = question.settings()[made.setting].springs();
        part.best.push_back(std::move(made));
    }
    return part;
}

} // namespace valve::study
