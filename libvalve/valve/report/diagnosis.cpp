#include <valve/core/units.hpp>
#include <valve/report/advise.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/cut_off.hpp>
#include <valve/report/diagnosis.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/text.hpp>
#include <valve/study/ride_remark.hpp>
#include <valve/study/rider.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <vector>

namespace valve::report {

namespace {

using study::Diagnosis;
using study::Judgement;
using study::Rule;

/// A sag's limit [m] in mm, to a tenth as sags are told, "75", "74.9".
std::string to_tenth(double length) {
    return trim_mm(rounded_to(length, 1, "mm"));
}

std::string_view name(Rule rule) {
    constexpr std::array<std::string_view, 15> names{
        "refills_on_rebound", "refills_hanging", "check_opens",    "fills_inwards",    "base_leads",
        "reservoir_is_free",  "moves_freely",    "ports_are_wide", "shims_keep_shape", "shims_last",
        "spring_fits",        "rate_fits",       "oil_fits",       "ends_softly",      "extends_softly"};
    return names.at(static_cast<std::size_t>(rule));
}

/// The figures that the rules look at: of those that are broken, that hold, that could not be asked.
std::vector<study::Figure> figures(const Diagnosis& diagnosis) {
    std::vector<study::Figure> list;
    for (const std::vector<Judgement>* judged : {&diagnosis.faults, &diagnosis.sound, &diagnosis.unsolved})
        for (const Judgement& one : *judged)
            list.push_back(one.figure);
    return list;
}

/// What the rides behind them give to think.
std::vector<std::string> cautions(const Diagnosis& diagnosis) {
    std::vector<std::string> all = cut_off_sentences(figures(diagnosis));
    for (const std::string& swings : swing_sentences(figures(diagnosis)))
        all.push_back(swings);
    return all;
}

/// What it feels like where the rule is broken, on a damper beside a coil or without.
std::string_view feeling(const Judgement& broken, bool has_coil) {
    const bool is_too_much = broken.error.distance > 0.0;
    switch (broken.rule) {
    case Rule::refills_on_rebound:
        return "In a series of hits the next stroke starts into a hollow chamber";
    case Rule::refills_hanging:
        return "Out of a hole or over a crest it comes back hollow";
    case Rule::check_opens:
        return "The way back in is held up: the chamber behind the piston is refilled too late";
    case Rule::fills_inwards:
        return "A hard hit empties the rod side, and the way back starts without damping";
    case Rule::base_leads:
        return "The mid-valve takes over from the base valve: harsh on square edges";
    case Rule::reservoir_is_free:
        return "The reservoir's seal rubs: the first movement comes late";
    case Rule::moves_freely:
        return "It sticks before it moves: small stones are passed on";
    case Rule::ports_are_wide:
        return "Drillings rule the force there, and shims change little";
    case Rule::shims_keep_shape:
        return "Shims are bent for good: the damping falls off with use";
    case Rule::shims_last:
        return "Shims are bent beyond endless life: they crack in time";
    case Rule::spring_fits:
        return "It stands at the wrong height before the ride begins";
    case Rule::rate_fits:
        if (!has_coil)
            return is_too_much
                       ? "Without the rider it sinks deep: the air in the leg is soft where it starts"
                       : "Without the rider it hardly sinks: the air in the leg is hard where it starts";
        return is_too_much
                   ? "Without the rider it sinks deep: a spring too stiff for him, with little preload"
                   : "Without the rider it hardly sinks: a spring too soft for him, wound up";
    case Rule::oil_fits:
        return is_too_much ? "Too much oil: the air in the leg goes hard before the travel is used"
                           : "Too little oil: the air in the leg holds nothing up at the end";
    case Rule::ends_softly:
        return "It bottoms out";
    case Rule::extends_softly:
        return "It comes out to its end with a knock";
    }
    return {};
}

bool has_coil(const Diagnosis& diagnosis) {
    const std::optional<damper::Support>& support = diagnosis.reading.unit->support;
    return support && support->spring;
}

std::string indented(const std::string& words) {
    return "     " + wrapped(words, page_columns - 5, "     ") + "\n";
}

/// What a change that falls short makes of the end of the travel: at which speed metal is met, or where none
/// is the stop. The line of the stop is the goal's first, that of metal its last.
std::string metal_words(const Judgement& fault) {
    if (fault.rule != Rule::ends_softly || !fault.nearest) return "";
    const study::LineError& metal = fault.nearest->lines.back();
    if (!metal.met()) return fmt::format("; metal is met at {} m/s then", fixed(metal.value, 2));
    return fmt::format("; no metal is met then, and the stop at {} m/s",
                       fixed(fault.nearest->lines.front().value, 2));
}

std::string figures_words(const std::vector<study::BrokenRule>& rules, double top_speed) {
    std::vector<std::string> figures;
    for (const study::BrokenRule& rule : rules)
        figures.push_back(words(rule.figure) + " " + value_words(rule.figure, top_speed));
    return listed(figures);
}

/// Which rules that hold today the change breaks, and which faults it makes worse; empty where none.
std::string harm_words(const Judgement& fault, double top_speed) {
    std::string said;
    if (!fault.breaks.empty())
        said = fmt::format("But it breaks {} today: {}.",
                           fault.breaks.size() == 1 ? "a rule that holds" : "rules that hold",
                           figures_words(fault.breaks, top_speed));
    if (!fault.worsens.empty())
        said += fmt::format("{} it makes worse what is broken today: {}.", said.empty() ? "But" : " And",
                            figures_words(fault.worsens, top_speed));
    return said;
}

std::string fault_text(const Judgement& fault, const Diagnosis& diagnosis, std::size_t number) {
    std::string out =
        fmt::format("{:3}  ", number) +
        wrapped(fmt::format("{}: {} {}.", feeling(fault, has_coil(diagnosis)), words(fault.figure),
                            value_words(fault.figure, diagnosis.at.top_speed)),
                page_columns - 5, "     ") +
        "\n";
    out += indented(fmt::format("Rule: {} (common practice, no source).", rule_words(fault)));
    if (fault.mend) {
        out += indented(fmt::format("Mended by {}. {}", words(*fault.mend),
                                    side_words(*fault.mend, diagnosis.at.top_speed)));
    } else if (fault.nearest) {
        out += indented(
            fmt::format("No single change that was tried mends it. Nearest comes {}: {} % of the way{}.",
                        words(*fault.nearest), fixed(fault.nearest->reached * 100.0, 0), metal_words(fault)));
    } else {
        out += indented("No single change that was tried brings it nearer.");
    }
    if (const std::string harm = harm_words(fault, diagnosis.at.top_speed); !harm.empty())
        out += indented(harm);
    return out;
}

Json rules_json(const std::vector<study::BrokenRule>& rules) {
    Json list = Json::array();
    for (const study::BrokenRule& one : rules) {
        Json rule = place(one.figure.request());
        rule["rule"] = name(one.rule);
        rule["value"] = or_null(one.figure.value);
        list.push_back(std::move(rule));
    }
    return list;
}

Json sound_json(const Judgement& judgement) {
    Json object;
    object["rule"] = name(judgement.rule);
    object.update(place(judgement.figure.request()));
    object["value"] = or_null(judgement.figure.value);
    object["low"] = std::isfinite(judgement.target.low) ? Json(judgement.target.low) : Json(nullptr);
    object["high"] = std::isfinite(judgement.target.high) ? Json(judgement.target.high) : Json(nullptr);
    object["noticeable_steps"] = judgement.error.steps;
    object["words"] = rule_words(judgement);
    return object;
}

Json fault_json(const Judgement& judgement, bool has_coil) {
    Json object = sound_json(judgement);
    object["feeling"] = feeling(judgement, has_coil);
    object["mend"] = judgement.mend ? json(*judgement.mend) : Json(nullptr);
    object["nearest"] = judgement.nearest ? json(*judgement.nearest) : Json(nullptr);
    object["breaks"] = rules_json(judgement.breaks);
    object["worsens"] = rules_json(judgement.worsens);
    return object;
}

} // namespace

std::string rule_words(const Judgement& judgement) {
    const auto speed = [](double value) { return metres_a_second(value) + " m/s"; };
    const study::GoalLine& line = judgement.target.line;
    const std::string limit = speed(line.amount.value);
    switch (judgement.rule) {
    case Rule::refills_on_rebound:
        return fmt::format("no void on rebound below {}, which rough ground brings all day", limit);
    case Rule::refills_hanging:
        return fmt::format("no void near full extension below {}", limit);
    case Rule::check_opens:
        return fmt::format("a refill deficit of no more than {} bar at {}", bar(line.amount.value),
                           speed(std::abs(line.figure.speed.value_or(0.0))));
    case Rule::fills_inwards:
        return fmt::format("no void on compression below {}, which a hard hit brings", limit);
    case Rule::base_leads:
        return fmt::format("the base valve takes more pressure than the mid-valve up to {}", limit);
    case Rule::reservoir_is_free:
        return fmt::format(
            "the reservoir's seal is felt on the rod with no more than {} N: {} % of what one damper "
            "carries, or {} N",
            fixed(line.amount.value, 1), fixed(study::rubbing_share * 100.0, 0),
            fixed(study::least_rubbing, 0));
    case Rule::moves_freely:
        return fmt::format("friction before it moves is no more than {} N, {} % of the load",
                           newton(line.amount.value), fixed(study::sticky_share * 100.0, 0));
    case Rule::ports_are_wide:
        return fmt::format("{} not below {}", words(judgement.figure), limit);
    case Rule::shims_keep_shape:
        return fmt::format("no shim keeps a set up to {}", limit);
    case Rule::shims_last:
        return fmt::format("no shim is bent beyond endless life below {}", limit);
    case Rule::spring_fits:
        return fmt::format("sag with the rider between {} and {} mm, {} to {} % of the wheel's travel",
                           to_tenth(judgement.target.low), to_tenth(judgement.target.high),
                           fixed(study::usual_sag_least * 100.0, 0), fixed(study::usual_sag_most * 100.0, 0));
    case Rule::rate_fits:
        return fmt::format("sag without the rider between {} and {} mm, {} to {} % of the wheel's travel",
                           to_tenth(judgement.target.low), to_tenth(judgement.target.high),
                           fixed(study::usual_free_sag_least * 100.0, 0),
                           fixed(study::usual_free_sag_most * 100.0, 0));
    case Rule::oil_fits:
        return fmt::format("at full travel a leg's air has {} to {} times the pressure that it has extended, "
                           "which gives {} to {} N of support",
                           fixed(study::least_air_ratio, 0), fixed(study::most_air_ratio, 0),
                           newton(judgement.target.low), newton(judgement.target.high));
    case Rule::ends_softly:
        return fmt::format("{} % of the travel is left, or the stop is met at no more than {} m/s{} ({})",
                           fixed(study::reserve_share * 100.0, 0), fixed(study::soft_closing, 1),
                           line.figure.quantity == study::Quantity::metal_speed ? ", and no metal" : "",
                           line.figure.event->event.title);
    case Rule::extends_softly:
        return fmt::format("full extension is met at no more than {} ({})", limit,
                           line.figure.event->event.title);
    }
    return {};
}

Json json(const Diagnosis& diagnosis) {
    Json object;
    object["file"] = diagnosis.file;
    object["title"] = diagnosis.reading.title;
    object["shape"] = shape_name(diagnosis.shape == stack::Shape::as_it_bends);
    object["top_speed_m_s"] = diagnosis.at.top_speed;
    object["is_sound"] = diagnosis.faults.empty() && diagnosis.unsolved.empty();
    object["faults"] = Json::array();
    for (const Judgement& fault : diagnosis.faults)
        object["faults"].push_back(fault_json(fault, has_coil(diagnosis)));
    object["sound"] = Json::array();
    for (const Judgement& one : diagnosis.sound)
        object["sound"].push_back(sound_json(one));
    object["cautions"] = cautions(diagnosis);
    object["unsolved"] = Json::array();
    for (const Judgement& one : diagnosis.unsolved) {
        Json entry;
        entry["rule"] = name(one.rule);
        entry.update(place(one.figure.request()));
        entry["error"] = one.figure.error;
        object["unsolved"].push_back(entry);
    }
    return object;
}

Json points(const Diagnosis& diagnosis) {
    Json rows = Json::array();
    for (const std::vector<Judgement>* list : {&diagnosis.faults, &diagnosis.sound})
        for (const Judgement& one : *list) {
            Json row = sound_json(one);
            row["mend_key"] = one.mend ? Json(one.mend->steps.front().key) : Json(nullptr);
            row["mend_from"] = one.mend ? Json(one.mend->steps.front().from) : Json(nullptr);
            row["mend_to"] = one.mend ? Json(one.mend->steps.front().to) : Json(nullptr);
            row["mend_set"] = one.mend ? Json(set_words(*one.mend)) : Json(nullptr);
            rows.push_back(row);
        }
    return rows;
}

std::string text(const Diagnosis& diagnosis) {
    std::string out = fmt::format("{}: {}\n", diagnosis.file, diagnosis.reading.title);
    if (diagnosis.faults.empty())
        out += fmt::format("Sound: {} of {} rules hold.\n", diagnosis.sound.size(),
                           diagnosis.sound.size() + diagnosis.unsolved.size());
    else
        out += fmt::format("{} of {} rules {} broken; what a rider notices most comes first.\n\n",
                           diagnosis.faults.size(),
                           diagnosis.faults.size() + diagnosis.sound.size() + diagnosis.unsolved.size(),
                           diagnosis.faults.size() == 1 ? "is" : "are");
    for (std::size_t i = 0; i < diagnosis.faults.size(); ++i)
        out += fault_text(diagnosis.faults[i], diagnosis, i + 1);
    if (!diagnosis.sound.empty()) out += "\nWhat holds:\n";
    for (const Judgement& one : diagnosis.sound)
        out += indented(fmt::format("{}: {} {}.", rule_words(one), words(one.figure),
                                    value_words(one.figure, diagnosis.at.top_speed)));
    if (!diagnosis.unsolved.empty()) out += "\nNot judged:\n";
    for (const Judgement& one : diagnosis.unsolved)
        out += indented(fmt::format("{} could not be solved: {}.", words(one.figure), one.figure.error));
    const std::vector<std::string> told = cautions(diagnosis);
    if (!told.empty()) out += "\n";
    for (const std::string& caution : told)
        out += wrapped(caution, page_columns, "") + "\n";
    return out + "\n" +
           wrapped("Rules are common practice, without source. A mending change has the fewest steps that "
                   "satisfy its rule, and of several the one that moves the rest least, new parts last (of "
                   "choked ports wider ones first); it is found by solving the changed set-up. Rides are "
                   "looked at over the events that are given, for bottoming and topping out alone.",
                   page_columns, "") +
           "\n";
}

} // namespace valve::report
