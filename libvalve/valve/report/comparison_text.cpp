#include <valve/report/assumptions.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/text.hpp>
#include <valve/report/warning_words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <utility>

namespace valve::report {

namespace {

/// As said in a sentence; the list of changed keys has them in full.
std::string short_key(const std::string& key) {
    constexpr std::string_view prefix = "valves.";
    return key.compare(0, prefix.size(), prefix) == 0 ? key.substr(prefix.size()) : key;
}

/// Figures told in one clause: the same quantity in the same direction, or at rest over the travel.
bool same_family(const Figure& a, const Figure& b) {
    const bool same_direction = a.speed.value_or(0.0) * b.speed.value_or(0.0) > 0.0;
    return a.quantity == b.quantity && (same_direction || !(a.speed || b.speed));
}

/// "0.3 and 2 m/s", "10 and 90 % travel".
std::string at_places(const std::vector<Figure>& figures) {
    const bool over_travel = !figures.front().speed;
    std::vector<double> places;
    for (const Figure& figure : figures)
        places.push_back(over_travel ? *figure.travel_share * 100.0 : std::abs(*figure.speed));
    std::sort(places.begin(), places.end());
    std::vector<std::string> said;
    for (const double place : places)
        said.push_back(over_travel ? fixed(place, 0) : metres_a_second(place));
    return listed(said) + (over_travel ? " % travel" : " m/s");
}

/// "refill deficit at 1 m/s 1.20 bar → 0.12 bar (also at 0.3 and 2 m/s)".
std::string clause(const std::vector<const Change*>& family, double top_speed) {
    constexpr double telling_speed = 1.0; // [m/s], at which a tuner knows the forces by heart
    const auto told = std::find_if(family.begin(), family.end(), [](const Change* change) {
        return change->to.speed && std::abs(*change->to.speed) == telling_speed;
    });
    const Change& first = told == family.end() ? *family.front() : **told;
    std::string text = fmt::format("{}{} {} → {}", words(first.to), first.from.value ? "" : ":",
                                   value_words(first.from, top_speed), value_words(first.to, top_speed));
    std::vector<Figure> others;
    for (const Change* change : family)
        if (change != &first) others.push_back(change->to);
    if (!others.empty()) text += fmt::format(" (also at {})", at_places(others));
    return text;
}

Table side_by_side(const Comparison& comparison) {
    std::vector<Table::Column> columns{{"", "", true}, {"", "", true}};
    for (std::size_t i = 0; i < comparison.setups.size(); ++i)
        columns.push_back({setup_letter(i), ""});
    Table table(columns);
    const std::vector<Figure>& first = comparison.setups.front().headline.figures;
    for (std::size_t row = 0; row < first.size(); ++row) {
        std::vector<std::string> cells{words(first[row]), std::string(unit(first[row].quantity))};
        for (const Comparison::Entry& entry : comparison.setups)
            cells.push_back(value_cell(entry.headline.figures.at(row)));
        table.add(cells);
    }
    return table;
}

std::string variant_text(const Variant& variant, double top_speed) {
    std::string out;
    if (variant.differences.empty()) return "  Same values as A.\n";
    for (const setup::Difference& difference : variant.differences)
        out += "  " +
               wrapped(fmt::format("{}: {} → {}", difference.key, difference.from.value_or("not given"),
                                   difference.to.value_or("not given")),
                       page_columns - 6, "      ") +
               "\n";
    out += "\n";
    for (const std::string& sentence : sentences(variant, top_speed))
        out += "  " + wrapped(sentence, page_columns - 4, "    ") + "\n";
    const std::string unchanged = unchanged_line(variant, top_speed);
    if (!unchanged.empty()) out += "  " + wrapped(unchanged, page_columns - 4, "    ") + "\n";
    return out;
}

/// What shims have to say, each sentence once with the set-ups it holds for: "A and B: At 2 m/s …".
std::vector<std::string> shim_warnings(const Comparison& comparison) {
    std::vector<std::pair<std::string, std::vector<std::string>>> said;
    for (std::size_t i = 0; i < comparison.setups.size(); ++i)
        for (const std::string& warning : sentences(comparison.setups[i].shim_warnings)) {
            auto same = std::find_if(said.begin(), said.end(),
                                     [&](const auto& other) { return other.first == warning; });
            if (same == said.end()) same = said.insert(said.end(), {warning, {}});
            same->second.push_back(setup_letter(i));
        }
    std::vector<std::string> warnings;
    for (const auto& [warning, letters] : said)
        warnings.push_back(fmt::format("warning: {}: {}.", listed(letters), warning));
    return warnings;
}

} // namespace

std::vector<std::string> sentences(const Variant& variant, double top_speed) {
    std::vector<std::string> result;
    std::vector<bool> told(variant.changes.size(), false);
    for (std::size_t i = 0; i < variant.changes.size(); ++i) {
        if (told[i]) continue;
        const std::string cause = variant.changes[i].because_words();
        std::string sentence;
        for (std::size_t j = i; j < variant.changes.size(); ++j) {
            if (told[j] || variant.changes[j].because_words() != cause) continue;
            std::vector<const Change*> family;
            for (std::size_t k = j; k < variant.changes.size(); ++k) {
                const Change& other = variant.changes[k];
                const bool belongs = k == j || same_family(variant.changes[j].to, other.to);
                if (told[k] || !belongs || other.because_words() != cause) continue;
                family.push_back(&other);
                told[k] = true;
            }
            sentence += (sentence.empty() ? "" : "; ") + clause(family, top_speed);
        }
        std::vector<std::string> keys;
        for (const std::string& one : variant.changes[i].because)
            keys.push_back(short_key(one));
        const bool overlapping = variant.changes[i].cause == Cause::overlapping;
        const std::string_view how = keys.size() == 1 ? ""
                                     : overlapping    ? ", each of which does part of it alone"
                                                      : " together";
        sentence += fmt::format(", because of {}{}.", listed(keys), how);
        sentence.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(sentence.front())));
        result.push_back(sentence);
    }
    return result;
}

std::string unchanged_line(const Variant& variant, double top_speed) {
    if (variant.unchanged.empty()) return "";
    std::vector<std::string> families;
    std::vector<bool> told(variant.unchanged.size(), false);
    for (std::size_t i = 0; i < variant.unchanged.size(); ++i) {
        if (told[i]) continue;
        const Figure& figure = variant.unchanged[i];
        if (!figure.speed && !figure.travel_share) {
            families.push_back(words(figure) + (is_onset(figure.quantity)
                                                    ? " (" + value_words(figure, top_speed) + ")"
                                                    : ""));
            continue;
        }
        std::vector<Figure> family;
        for (std::size_t k = i; k < variant.unchanged.size(); ++k)
            if (k == i || same_family(figure, variant.unchanged[k])) {
                family.push_back(variant.unchanged[k]);
                told[k] = true;
            }
        families.push_back(family_words(figure) + " at " + at_places(family));
    }
    std::string text;
    for (const std::string& family : families)
        text += (text.empty() ? "Unchanged within 1 %: " : "; ") + family;
    return text + ".";
}

std::string text(const Comparison& comparison) {
    const double top_speed = comparison.setups.front().headline.top_speed;
    std::string out = fmt::format("A  {}: {}\n   the reference\n", comparison.setups.front().file,
                                  comparison.setups.front().reading.title);
    for (std::size_t i = 0; i < comparison.variants.size(); ++i) {
        const Comparison::Entry& entry = comparison.setups.at(i + 1);
        out += fmt::format("\n{}  {}: {}\n", setup_letter(i + 1), entry.file, entry.reading.title);
        if (!entry.reading.note.empty())
            out += "   " + wrapped(entry.reading.note, page_columns - 3, "   ") + "\n";
        out += variant_text(comparison.variants[i], top_speed);
    }
    const Comparison::Entry& reference = comparison.setups.front();
    const auto line = [&](const std::string& sentence) {
        out += wrapped(sentence, page_columns - 2, "  ") + "\n";
    };
    out += "\n";
    line(fmt::format(
        "One damper (support: all legs), at {} mm travel; near full extension means 10 % travel. Theory: {}.",
        trim_mm(reference.headline.travel), stack::name(reference.headline.theory)));
    const std::string floated = floated_valves(*reference.reading.unit);
    if (!floated.empty()) line("Floated in A: " + floated + ".");
    out += "\n";
    out += side_by_side(comparison).text();
    for (const std::string& warning : shim_warnings(comparison))
        line(warning);
    std::vector<study::RunBeside> besides;
    for (const Comparison::Entry& entry : comparison.setups)
        if (entry.measured) besides.push_back(*entry.measured);
    if (!besides.empty()) out += text(besides);
    out += "\n" + wrapped(rule_of_order(), page_columns, "") + "\n";
    out += wrapped(rule_of_causes(), page_columns, "") + "\n";
    out += wrapped("Unchanged means within 1 %, or within 0.01 m/s, 0.01 bar, 1 N, 0.5 mm or 1 J.",
                   page_columns, "") +
           "\n";
    return out;
}

} // namespace valve::report
