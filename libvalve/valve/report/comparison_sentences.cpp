#include <valve/report/comparison.hpp>
#include <valve/report/figure_words.hpp>
#include <valve/report/key_words.hpp>
#include <valve/report/text.hpp>
#include <valve/study/counts_in.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

namespace valve::report {

namespace {

using study::Cause;
using study::Change;
using study::Figure;

/// Figures told in one clause: the same quantity in the same direction, over frequencies, rides, or at rest
/// over the travel.
bool same_family(const Figure& a, const Figure& b) {
    const bool same_direction = a.speed.value_or(0.0) * b.speed.value_or(0.0) > 0.0;
    return a.quantity == b.quantity && (same_direction || !(a.speed || b.speed));
}

/// "at 0.3 and 2 m/s", "at 10 and 90 % travel", "at 1 and 4 Hz", "over Ledge and Pebble".
std::string at_places(const std::vector<Figure>& figures) {
    const Figure& first = figures.front();
    std::vector<std::string> said;
    if (first.event) {
        for (const Figure& figure : figures)
            said.push_back(figure.event->event.title);
        return "over " + listed(said);
    }
    std::vector<double> places;
    for (const Figure& figure : figures)
        places.push_back(first.frequency ? *figure.frequency
                         : first.speed   ? std::abs(*figure.speed)
                                         : *figure.travel_share * 100.0);
    std::sort(places.begin(), places.end());
    for (const double place : places)
        said.push_back(first.frequency ? fmt::format("{:g}", place)
                       : first.speed   ? metres_a_second(place)
                                       : fixed(place, 0));
    return "at " + listed(said) + (first.frequency ? " Hz" : first.speed ? " m/s" : " % travel");
}

/// The one of a family that is told in full: at the speed at which a tuner knows the forces by heart, else
/// the first.
const Change& told_of(const std::vector<const Change*>& family) {
    constexpr double telling_speed = 1.0; // [m/s]
    const auto told = std::find_if(family.begin(), family.end(), [](const Change* change) {
        return change->to.speed && std::abs(*change->to.speed) == telling_speed;
    });
    return told == family.end() ? *family.front() : **told;
}

using Family = std::vector<const Change*>;

/// "refill deficit at 1 m/s 1.20 bar → 0.12 bar (also at 0.3 and 2 m/s)".
std::string clause(const Family& family, bool names_event, double top_speed) {
    const Change& told = told_of(family);
    study::FigureRequest figure = told.to.request();
    if (!names_event) figure.event = {};
    std::string text = fmt::format("{}{} {} → {}", words(figure), told.from.value ? "" : ":",
                                   value_words(told.from, top_speed), value_words(told.to, top_speed));
    std::vector<Figure> others;
    for (const Change* change : family)
        if (change != &told) others.push_back(change->to);
    if (!others.empty()) text += fmt::format(" (also {})", at_places(others));
    return text;
}

/// Names changed keys: each with its change the first time.
class Namer {
public:
    explicit Namer(const study::Variant& variant) : m_variant(variant) {}

    std::string name(const std::string& key) {
        const auto of = std::find_if(m_variant.told.begin(), m_variant.told.end(),
                                     [&](const setup::Difference& one) { return one.key == key; });
        const bool is_new = m_told.insert(key).second;
        return of != m_variant.told.end() && is_new ? change_words(*of) : key_words(key);
    }

    /// "-65 N by the mid-valve's float, 0.55 → 0.1 mm (…), and +62 N by …".
    std::string effects(const Change& change) {
        std::vector<std::string> said;
        for (const study::Share& share : change.shares)
            if (share.effect &&
                std::find(change.because.begin(), change.because.end(), share.key) != change.because.end())
                said.push_back(
                    fmt::format("{} by {}", step_words(change.to.quantity, *share.effect), name(share.key)));
        return listed(said);
    }

    std::string because(const Change& change) {
        if (change.cause == Cause::cancelling) return "what is left of " + effects(change);
        std::vector<std::string> said;
        for (const std::string& key : change.because)
            said.push_back(name(key));
        const std::string_view how = said.size() == 1 ? ""
                                     : change.cause == Cause::overlapping
                                         ? ", each of which does part of it alone"
                                         : " together";
        return fmt::format("because of {}{}", listed(said), how);
    }

private:
    const study::Variant& m_variant;
    std::set<std::string> m_told;
};

/// Clauses, the event named once where all are of one: "Over Ledge: harshness …; largest travel …".
std::string clauses(const std::vector<Family>& families, double top_speed) {
    const study::RideEvent& event = families.front().front()->to.event;
    const bool is_one = event && std::all_of(families.begin(), families.end(), [&](const Family& family) {
                            return std::all_of(family.begin(), family.end(), [&](const Change* change) {
                                return change->to.event == event;
                            });
                        });
    std::string text;
    for (const Family& family : families)
        text += (text.empty() ? "" : "; ") + clause(family, !is_one, top_speed);
    return is_one ? fmt::format("over {}: {}", event->event.title, text) : text;
}

/// Whether two changes can share a sentence. Rides have sentences of their own, and effects that cancel are
/// told of one family alone.
bool same_cause(const Change& a, const Change& b) {
    return a.cause == b.cause && a.because == b.because && !a.to.event == !b.to.event &&
           (a.cause != Cause::cancelling || same_family(a.to, b.to));
}

} // namespace

std::string because_words(const Change& change) {
    if (change.because.size() == 1) return change.because.front();
    std::string text;
    for (const std::string& one : change.because)
        text += (text.empty() ? "together: " : ", ") + one;
    return text;
}

std::vector<std::string> sentences(const study::Variant& variant, double top_speed) {
    std::vector<std::string> result;
    Namer namer(variant);
    const std::vector<Change>& changes = variant.changes;
    std::vector<bool> told(changes.size(), false);
    for (std::size_t i = 0; i < changes.size(); ++i) {
        if (told[i]) continue;
        std::vector<Family> families;
        for (std::size_t j = i; j < changes.size(); ++j) {
            if (told[j] || !same_cause(changes[i], changes[j])) continue;
            Family family;
            for (std::size_t k = j; k < changes.size(); ++k) {
                const bool belongs = k == j || same_family(changes[j].to, changes[k].to);
                if (told[k] || !belongs || !same_cause(changes[i], changes[k])) continue;
                family.push_back(&changes[k]);
                told[k] = true;
            }
            families.push_back(std::move(family));
        }
        const Change& cause = told_of(families.front());
        result.push_back(capital(fmt::format("{}, {}.", clauses(families, top_speed), namer.because(cause))));
    }
    return result;
}

std::vector<std::string> balanced_sentences(const study::Variant& variant, double top_speed) {
    std::vector<std::string> result;
    Namer namer(variant);
    for (const Change& change : variant.balanced)
        result.push_back(capital(fmt::format("{} stays at {}: {}.", words(change.to),
                                             value_words(change.to, top_speed), namer.effects(change))));
    return result;
}

std::vector<std::string> not_asked_sentences(const study::Variant& variant) {
    using study::CountsIn;
    std::vector<std::string> result;
    for (const auto& [where, what] :
         {std::pair{CountsIn::time, "in time alone, and no figure compared is of a cycle or a ride"},
          std::pair{CountsIn::rides, "on rides alone, and no figure compared is of one"}}) {
        std::vector<std::string> keys;
        for (const setup::Difference& one : variant.not_asked)
            if (study::counts_in(one) == where) keys.push_back(change_words(one));
        if (!keys.empty())
            result.push_back(
                capital(fmt::format("{} {} {}.", listed(keys), keys.size() == 1 ? "counts" : "count", what)));
    }
    return result;
}

std::string unchanged_line(const study::Variant& variant, double top_speed) {
    if (variant.unchanged.empty()) return "";
    std::vector<std::string> families;
    std::vector<bool> told(variant.unchanged.size(), false);
    for (std::size_t i = 0; i < variant.unchanged.size(); ++i) {
        if (told[i]) continue;
        const Figure& figure = variant.unchanged[i];
        if (!figure.speed && !figure.travel_share && !figure.event) {
            families.push_back(words(figure) + (study::kind_of(figure.quantity).is_onset
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
        families.push_back(family_words(figure.request()) + " " + at_places(family));
    }
    std::string text;
    for (const std::string& family : families)
        text += (text.empty() ? "Unchanged within 1 %: " : "; ") + family;
    return text + ".";
}

std::string_view rule_of_causes() {
    return "Each changed key is undone alone and the set-up solved again. The cause of a change is the key "
           "whose undoing takes the figure back the most, if it alone takes back more than half of the "
           "change; where another works against it by half of the change or more, the parts of both are "
           "told. "
           "Else \"together\" names the keys that take back a tenth of it or more. Where fewer than two do, "
           "since "
           "what one key did others do as well, it names the keys that, put into the reference alone, bring "
           "about a tenth of it or more, or else all changed keys. A speed that is not reached counts as the "
           "top speed.";
}

std::string_view rule_of_order() {
    return "The change that a rider notices most comes first, counted in noticeable steps: 0.1 m/s of an "
           "onset (0.2 near full extension), 0.1 bar, 5 % of a force (10 N at least; of friction 5 N, of the "
           "reservoir's on the rod 2 N) or of an energy (5 J at least), 2 mm of sag, 5 mm of the "
           "travel under a hit or a heavy load (common practice, no source).";
}

std::string rule_of_cycles() {
    return fmt::format(
        "In cycles: sines of {:.0f} mm from end to end, or {:.0f} % of the travel where that is less, about "
        "the travel above. Dead travel: from a reversal to where the damping has come up to 90 % of its "
        "steady "
        "value. Noticed are 0.5 mm of it and 0.1 ml of a void (common practice, no source). Valves "
        "move where they can.",
        1e3 * study::most_usual_stroke, 1e2 * study::usual_share_of_travel);
}

std::string_view rule_of_rides() {
    return "Over events: 5 mm of travel, 0.1 m/s, 5 % of an acceleration (0.05 m/s² at least), 2 % of the "
           "time (of sticking 10 %) or of the wheel's load at rest, 0.1 ml of a void (common practice, no "
           "source). \"-\": that end of the travel is not met, which counts as 0 m/s.";
}

} // namespace valve::report
