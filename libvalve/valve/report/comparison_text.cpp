#include <valve/report/assumptions.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/cut_off.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/key_words.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/ride.hpp>
#include <valve/report/rider.hpp>
#include <valve/report/text.hpp>
#include <valve/report/unevenness.hpp>
#include <valve/report/warning_words.hpp>
#include <valve/study/counts_in.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <optional>
#include <utility>

namespace valve::report {

namespace {

using study::Comparison;
using study::Variant;

constexpr std::size_t answer_length = 3; // sentences

Table side_by_side(const Comparison& comparison) {
    std::vector<Table::Column> columns{{"", "", true}, {"", "", true}};
    for (std::size_t i = 0; i < comparison.setups.size(); ++i)
        columns.push_back({setup_letter(i), ""});
    Table table(columns);
    const std::vector<study::Figure>& first = comparison.setups.front().headline.figures;
    for (std::size_t row = 0; row < first.size(); ++row) {
        std::vector<std::string> cells{words(first[row]), std::string(unit(first[row].quantity))};
        for (const Comparison::Entry& entry : comparison.setups)
            cells.push_back(value_cell(entry.headline.figures.at(row)));
        table.add(cells);
    }
    return table;
}

std::string line(const std::string& words) {
    return "   " + wrapped(words, page_columns - 3, "     ") + "\n";
}

std::string title(const Comparison::Entry& entry, std::size_t index) {
    return fmt::format("{}  {}: {}\n", setup_letter(index), entry.file, entry.reading.title);
}

/// What moved most.
std::string answer(const Variant& variant, double top_speed, const Asking& asking) {
    if (variant.differences.empty()) return line("Same values as A.");
    const std::vector<std::string> all = sentences(variant, top_speed);
    std::string out;
    for (std::size_t i = 0; i < std::min(all.size(), answer_length); ++i)
        out += line(all[i]);
    const std::vector<std::string> not_asked = not_asked_sentences(variant);
    const bool is_all = not_asked.size() > 0 && variant.not_asked.size() == variant.differences.size();
    if (all.empty() && !is_all) out += line("Every figure stays within 1 %.");
    for (const std::string& sentence : not_asked)
        out += line(sentence);
    const bool by_rides =
        std::all_of(variant.not_asked.begin(), variant.not_asked.end(), [](const setup::Difference& one) {
            return study::counts_in(one) == study::CountsIn::rides;
        });
    const std::string_view how = by_rides ? asking.rides : asking.cycles_or_rides;
    if (!not_asked.empty() && !how.empty()) out += line(std::string(how));
    return out;
}

std::string stayed(const Variant& variant, bool in_full, double top_speed) {
    const std::size_t count = variant.unchanged.size();
    if (count == 0) return "";
    if (in_full) return line(unchanged_line(variant, top_speed));
    return line(
        fmt::format("{} figure{} stayed within 1 %; --unchanged lists them.", count, count == 1 ? "" : "s"));
}

/// What there is to say beyond the answer.
std::string rest(const Comparison::Entry& entry, const Variant& variant, bool with_unchanged,
                 double top_speed) {
    std::string out;
    if (!entry.reading.note.empty()) out += line(entry.reading.note);
    const std::vector<std::string> all = sentences(variant, top_speed);
    for (std::size_t i = answer_length; i < all.size(); ++i)
        out += line(all[i]);
    for (const std::string& sentence : balanced_sentences(variant, top_speed))
        out += line(sentence);
    for (const std::string& sentence : rider_sentences(variant, top_speed))
        out += line("A rider: " + sentence);
    for (const setup::Difference& difference : variant.told)
        out += line(fmt::format("Changed: {}.", change_words(difference)));
    return out + stayed(variant, with_unchanged, top_speed);
}

/// What each set-up has to say, each sentence once with those it holds for: "A and B: At 2 m/s …".
template <class SentencesOf>
std::vector<std::string> with_letters(const Comparison& comparison, const SentencesOf& sentences_of) {
    std::vector<std::pair<std::string, std::vector<std::string>>> said;
    for (std::size_t i = 0; i < comparison.setups.size(); ++i)
        for (const std::string& words : sentences_of(comparison.setups[i])) {
            auto same = std::find_if(said.begin(), said.end(),
                                     [&](const auto& other) { return other.first == words; });
            if (same == said.end()) same = said.insert(said.end(), {words, {}});
            same->second.push_back(setup_letter(i));
        }
    std::vector<std::string> all;
    for (const auto& [words, letters] : said)
        all.push_back(fmt::format("{}: {}.", listed(letters), words));
    return all;
}

/// "Unchanged means within 1 %, or within 0.01 m/s, …".
std::string rule_of_unchanged() {
    std::vector<std::string> steps;
    for (const study::Measure measure :
         {study::Measure::speed, study::Measure::pressure, study::Measure::force, study::Measure::length,
          study::Measure::energy}) {
        const study::Scale& scale = study::scale(measure);
        steps.push_back(fmt::format("{:g} {}", scale.smallest / scale.in_si, scale.unit));
    }
    return fmt::format("Unchanged means within 1 %, or within {}.", listed(steps));
}

std::string assumptions(const Comparison& comparison) {
    const Comparison::Entry& reference = comparison.setups.front();
    const study::Headline& headline = reference.headline;
    std::string text = fmt::format(
        "One damper (support: all legs), at {} mm travel; near full extension means {} % travel. Theory: {}.",
        trim_mm(headline.travel), percent(damper::near_extension), words(headline.theory, headline.bends));
    if (headline.hit && headline.heavy_load)
        text +=
            fmt::format(" A hit is {} J, without damping; a heavy load is {} N: {} % of A's energy to full "
                        "travel and what A carries at {} % of it, unless given.",
                        fixed(*headline.hit, 0), newton(*headline.heavy_load),
                        fixed(study::usual_hit * 100.0, 0), fixed(study::near_end * 100.0, 0));
    return text;
}

} // namespace

bool cycles(const Comparison& comparison) {
    const std::vector<study::Figure>& figures = comparison.setups.front().headline.figures;
    return std::any_of(figures.begin(), figures.end(),
                       [](const study::Figure& figure) { return bool(figure.frequency); });
}

std::vector<std::string> cautions(const Comparison& comparison) {
    std::vector<std::string> all = cut_off_sentences(comparison.setups.front().headline.figures);
    bool dips = false;
    for (std::size_t i = 0; i < comparison.setups.size(); ++i) {
        const std::vector<study::Figure>& figures = comparison.setups[i].headline.figures;
        dips = dips || std::any_of(figures.begin(), figures.end(),
                                   [](const study::Figure& figure) { return bool(figure.but_for_dips); });
        for (const std::string& swings : swing_sentences(figures))
            all.push_back(setup_letter(i) + ": " + swings);
    }
    if (dips) all.emplace_back(caution_of_dips);
    return all;
}

bool rides(const Comparison& comparison) {
    const std::vector<study::Figure>& figures = comparison.setups.front().headline.figures;
    return std::any_of(figures.begin(), figures.end(),
                       [](const study::Figure& figure) { return bool(figure.event); });
}

std::string text(const Comparison& comparison, bool with_unchanged, const Asking& asking) {
    const double top_speed = comparison.setups.front().headline.top_speed;
    std::string out = title(comparison.setups.front(), 0);
    for (std::size_t i = 0; i < comparison.variants.size(); ++i)
        out += title(comparison.setups.at(i + 1), i + 1) + answer(comparison.variants[i], top_speed, asking);
    for (std::size_t i = 0; i < comparison.variants.size(); ++i)
        if (const std::string more =
                rest(comparison.setups.at(i + 1), comparison.variants[i], with_unchanged, top_speed);
            !more.empty())
            out += fmt::format("\n{}  in full\n{}", setup_letter(i + 1), more);

    const auto sentence = [&](const std::string& words) {
        out += wrapped(words, page_columns - 2, "  ") + "\n";
    };
    out += "\n";
    sentence(assumptions(comparison));
    const std::string floated = floated_valves(*comparison.setups.front().reading.unit);
    if (!floated.empty()) sentence("Floated in A: " + floated + ".");
    out += "\n" + side_by_side(comparison).text();
    for (const std::string& bent :
         with_letters(comparison, [](const Comparison::Entry& entry) { return sentences(entry.not_round); }))
        sentence(bent);
    for (const std::string& warning :
         with_letters(comparison, [](const Comparison::Entry& entry) { return sentences(entry.warnings); }))
        sentence("warning: " + warning);
    for (const std::string& caution : cautions(comparison))
        sentence(caution);
    std::vector<study::RunBeside> besides;
    for (const Comparison::Entry& entry : comparison.setups)
        if (entry.measured) besides.push_back(*entry.measured);
    if (!besides.empty()) out += text(besides);
    out += "\n";
    std::vector<std::string> rules{std::string(rule_of_order()), std::string(rule_of_causes()),
                                   rule_of_unchanged()};
    if (rides(comparison)) rules.insert(rules.begin() + 1, std::string(rule_of_rides()));
    if (cycles(comparison)) rules.insert(rules.begin() + 1, std::string(rule_of_cycles()));
    for (std::size_t i = 0; i < comparison.setups.size(); ++i) {
        const study::Headline& of = comparison.setups[i].headline;
        const auto quasi_static = [](const std::optional<study::ValvesInTime>& valves) {
            return valves && valves->kind == motion::Valves::quasi_static;
        };
        if (quasi_static(of.ride_valves))
            rules.push_back(quasi_static_words(setup_letter(i) + ", rides: valves", *of.ride_valves));
        if (quasi_static(of.cycle_valves))
            rules.push_back(quasi_static_words(setup_letter(i) + ", cycles: valves", *of.cycle_valves));
        if (!of.swinging.empty())
            rules.push_back(
                fmt::format("{}: at {} Hz valves swing by themselves, so that peak forces lie far "
                            "above the steady ones and dead travel means little.",
                            setup_letter(i), fmt::join(of.swinging, ", ")));
    }
    for (const std::string& rule : rules)
        out += wrapped(rule, page_columns, "") + "\n";
    return out;
}

} // namespace valve::report
