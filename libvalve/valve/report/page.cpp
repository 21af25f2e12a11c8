#include <valve/report/adjusters.hpp>
#include <valve/report/advise.hpp>
#include <valve/report/balance_map.hpp>
#include <valve/report/build_sheet.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/cycle.hpp>
#include <valve/report/family.hpp>
#include <valve/report/field.hpp>
#include <valve/report/inspection.hpp>
#include <valve/report/left_out.hpp>
#include <valve/report/lift.hpp>
#include <valve/report/page.hpp>
#include <valve/report/page_fields.hpp>
#include <valve/report/page_words.hpp>
#include <valve/report/rider.hpp>
#include <valve/report/rider_rides.hpp>
#include <valve/report/search.hpp>
#include <valve/report/section.hpp>
#include <valve/report/support.hpp>
#include <valve/report/text.hpp>
#include <valve/report/wear.hpp>
#include <valve/setup/told_difference.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

/// Rod speeds of the curves that come in families [m/s], both ways.
constexpr std::array<double, 9> family_speeds{0.05, 0.1, 0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0};

/// Oil temperatures of the fade [°C]: a cold start, a usual day, a hot stage.
constexpr std::array<const char*, 3> fade_temperatures{"-10 C", "40 C", "120 C"};

/// Settings that an adjuster is shown at, in quarters of its range, and where it is.
std::vector<std::string> settings_of(const study::Adjuster& adjuster) {
    std::vector<double> settings{adjuster.setting};
    for (int quarter = 0; quarter <= 4; ++quarter)
        settings.push_back(std::round(adjuster.range * quarter / 4.0));
    std::sort(settings.begin(), settings.end());
    settings.erase(std::unique(settings.begin(), settings.end()), settings.end());
    std::vector<std::string> texts;
    for (const double setting : settings)
        texts.push_back(fmt::format("{}", setting));
    return texts;
}

/// What the oil path is drawn from, and the pressure at which a void forms.
Json unit_json(const damper::SetUp& unit) {
    const damper::Cartridge& cartridge = unit.cartridge;
    const damper::Reservoir& reservoir = unit.reservoir;
    Json places = Json::array();
    for (const damper::Place place : damper::all_places)
        if (unit.valves[place]) places.push_back(damper::name(place));
    const bool has_piston = reservoir.diameter > 0.0;
    return {{"layout", damper::name(cartridge.layout)},
            {"bore_m", cartridge.bore},
            {"rod_m", cartridge.rod},
            {"travel_m", cartridge.travel},
            {"dead_length_C_m", cartridge.dead_length_C},
            {"dead_length_R_m", cartridge.dead_length_R},
            {"reservoir",
             {{"kind", damper::name(reservoir.kind)},
              {"diameter_m", has_piston ? Json(reservoir.diameter) : Json(nullptr)},
              {"stroke_m", or_null(reservoir.stroke)}}},
            {"places", places},
            {"cavitation_pressure_Pa", unit.oil.cavitation_pressure}};
}

/// The unit that changes are marked from.
struct AsFound {
    setup::Document document;
    setup::Reading reading;
};

AsFound as_found(const setup::Document& document) {
    return {document, setup::read(document)};
}

/// Solves one set-up part by part, and keeps account of what cannot be solved.
class Part {
public:
    Part(const PageSource& source, const PageOptions& options, damper::LiftCache& lifts)
        : m_source(source), m_options(options), m_lifts(lifts),
          m_document(setup::Document::load(source.file, source.overrides)),
          m_reading(setup::read(m_document)) {}

    const setup::Document& document() const { return m_document; }
    const setup::Reading& reading() const { return m_reading; }
    const std::optional<study::CurveResult>& curve() const { return m_curve; }
    bool is_complete() const { return m_is_complete; }
    std::vector<std::string> left_out() const { return sentences(m_left_out); }
    /// The worst of each event.
    const std::vector<std::string>& worst_of_rides() const { return m_worst_of_rides; }
    const std::vector<std::string>& hard_ends() const { return m_hard_ends; }

    /// Figures that it was compared by.
    void add_compared(const study::Comparison::Entry& entry) {
        leave_out_unsolved("Compared figures:", entry.headline);
    }

    /// `found` null: nothing is marked as changed. `variant`: what became of the first set-up; null for that
    /// itself.
    Json solve(const std::string& letter, const AsFound* found, const study::Variant* variant) {
        Json object;
        object["name"] = letter;
        const auto add = [&](const char* key, const char* what, const auto& solve_part) {
            if (m_options.progress) m_options.progress(letter + ": " + what);
            object[key] = solve_part();
        };
        add("inspect", "stacks", [&] { return json(study::inspection(m_source.file, m_reading, m_lifts)); });
        add("curve", "forces over speed", [&] { return curve_part(); });
        add("support", "springs and air", [&] { return support_part(); });
        add("lift", "lift of the stacks", [&] { return lift_part(); });
        add("families", "adjusters", [&] { return families_part(); });
        add("fade", "warm oil", [&] { return fade_part(); });
        add("wear", "wear", [&] { return wear_part(); });
        add("map", "balance over travel", [&] { return map_part(); });
        add("cycles", "cycles in time", [&] { return cycle_part(); });
        add("rides", "rides", [&] { return ride_part(); });
        object["unit"] = m_reading.unit ? unit_json(*m_reading.unit) : Json(nullptr);
        object["sections"] = Json::array();
        for (const study::Section& section :
             study::sections(m_reading, m_lifts, m_curve ? &*m_curve : nullptr))
            object["sections"].push_back(json(section));
        object["build"] =
            found == nullptr ? json(study::build_sheet(m_reading, nullptr, {}))
                             : json(study::build_sheet(m_reading, &found->reading,
                                                       setup::told_differences(found->document, m_document)));
        object["rider"] = rider_part(variant);
        object["ride_warnings"] = m_hard_ends;
        object["left_out"] = left_out();
        return object;
    }

private:
    /// `solve()`, or null and the reason why not.
    template <class Solve>
    Json unless_unsolvable(std::string_view what, const Solve& solve) {
        try {
            return solve();
        } catch (const SolveError& error) {
            leave_out({std::string(what), "", error.what()});
            return nullptr;
        }
    }

    void leave_out(const LeftOut& one) {
        m_is_complete = false;
        if (std::find(m_left_out.begin(), m_left_out.end(), one) == m_left_out.end())
            m_left_out.push_back(one);
    }

    /// `of`: which of several results that are called `what`.
    template <class Result>
    void leave_out_unsolved(const std::string& what, const Result& result, const std::string& of = {}) {
        for (LeftOut one : report::left_out(what, result)) {
            if (!of.empty()) one.of = of;
            leave_out(one);
        }
    }

    Json curve_part() {
        if (!m_reading.unit) {
            m_left_out.push_back({"Forces and pressures", "", "the file holds one valve alone."});
            return nullptr;
        }
        return unless_unsolvable("Forces and pressures", [this] {
            m_curve = study::curve_result(m_source.file, m_reading, asked({}), m_lifts, m_options.run);
            leave_out_unsolved("Forces and pressures", *m_curve);
            return json(*m_curve);
        });
    }

    Json support_part() {
        if (!m_reading.unit) return nullptr;
        if (!m_reading.unit->support) {
            m_left_out.push_back({"Static support", "", "the file says nothing of springs (support:)."});
            return nullptr;
        }
        m_support = study::support_result(m_source.file, m_reading, {});
        return json(*m_support);
    }

    Json lift_part() {
        std::vector<Json> valves;
        for (const auto& [name, valve] : study::valves_of(m_reading)) {
            const study::LiftResult result = study::lift_result(name, *valve, {}, m_lifts);
            leave_out_unsolved("Lift, " + name, result);
            valves.push_back(json(result));
        }
        return by_valve(m_source.file, m_reading, valves);
    }

    Json families_part() {
        Json families = Json::array();
        if (!m_reading.unit) return families;
        for (const study::Adjuster& adjuster : study::adjusters(m_reading)) {
            Json one = unless_unsolvable("Adjuster " + adjuster.name, [&] {
                return family_part(
                    {adjuster.name, adjuster.key, std::string(adjuster.steps), settings_of(adjuster)});
            });
            if (!one.is_null()) families.push_back(std::move(one));
        }
        return families;
    }

    Json fade_part() {
        if (!m_reading.unit) return nullptr;
        return unless_unsolvable("Fade", [this] {
            const std::string key = "oil.temperature";
            return family_part({key, key, "", {fade_temperatures.begin(), fade_temperatures.end()}});
        });
    }

    Json wear_part() {
        if (!m_reading.unit) return nullptr;
        const damper::SetUp& unit = *m_reading.unit;
        if (!unit.cartridge.ring_leak && unit.reservoir.friction == 0.0) {
            m_left_out.push_back({"Wear", "", "the file has neither a ring leak nor a seal that rubs."});
            return nullptr;
        }
        return unless_unsolvable("Wear", [this] {
            const study::WearStudy worn =
                study::wear_study(m_source.file, m_reading, asked({}), study::wear_multiples(), m_lifts);
            for (const study::CurveResult& one : worn.members)
                leave_out_unsolved("Wear", one);
            return json(worn);
        });
    }

    Json map_part() {
        if (!m_reading.unit) return nullptr;
        return unless_unsolvable("Balance over travel", [this] {
            study::BalanceMapOptions options;
            options.rod_into = m_options.rod_into;
            options.top_speed = m_options.top_speed;
            const study::BalanceMap map = study::balance_map(m_source.file, m_reading, options, m_lifts);
            leave_out_unsolved("Balance over travel", map);
            return json(map);
        });
    }

    Json cycle_part() {
        if (!m_reading.unit) return nullptr;
        return unless_unsolvable("Cycles in time", [this] {
            const study::CycleStudy study = study::cycle_study(
                *m_reading.unit, m_lifts, study::usual_cycles(*m_reading.unit, m_options.rod_into));
            for (const study::CycleFigures& cycle : study.cycles) {
                if (cycle.error) leave_out({"Cycles in time", "", *cycle.error});
            }
            return cycles_to_draw(study);
        });
    }

    Json ride_part() {
        if (!m_reading.unit || !m_reading.vehicle || m_options.events.empty()) return Json::array();
        study::RideQuestion question;
        question.sides.push_back({*m_reading.unit, std::nullopt, *m_reading.vehicle});
        for (const RideNames::Event& event : m_options.events)
            question.events.push_back(event.event);
        const Json rides = unless_unsolvable("Rides", [&] {
            const std::vector<study::RideFigures> ridden = study::ride_study(question, m_lifts);
            m_ride_sentences = rider_sentences(ridden, question.events);
            m_worst_of_rides = worst_sentences(ridden, question.events);
            m_hard_ends = hard_end_sentences(ridden, question.events);
            for (const study::RideFigures& ride : ridden) {
                if (ride.error) leave_out({m_options.events.at(ride.event).title, "", *ride.error});
            }
            return rides_to_draw(ridden, m_options.events, m_reading.vehicle->tyre.radius);
        });
        return rides.is_null() ? Json::array() : rides;
    }

    Json family_part(const study::Sweep& sweep) {
        const auto document = [&](std::size_t i) {
            std::vector<setup::Override> overrides = m_source.overrides;
            overrides.push_back({sweep.key, sweep.settings.at(i)});
            return setup::Document::load(m_source.file, overrides);
        };
        std::vector<double> speeds(family_speeds.begin(), family_speeds.end());
        for (const double speed : family_speeds)
            speeds.push_back(-speed);
        std::sort(speeds.begin(), speeds.end());
        const study::CurveFamily solved =
            study::curve_family(sweep, document, asked(std::move(speeds)), m_lifts);
        for (const study::LeftOut& left_out : solved.left_out)
            leave_out({sweep.name + " at", left_out.setting, left_out.why});
        for (std::size_t i = 0; i < solved.members.size(); ++i)
            leave_out_unsolved(sweep.name + " at", solved.members[i], solved.sweep.settings.at(i));
        return json(solved);
    }

    Json rider_part(const study::Variant* variant) const {
        std::vector<std::string> said;
        if (variant != nullptr)
            said = rider_sentences(*variant, m_options.top_speed);
        else if (m_curve)
            said = rider_sentences(*m_curve, m_support ? &*m_support : nullptr);
        // Hard ends come first, before what speaks well of the rest.
        const auto hard_ends = m_ride_sentences.begin() + std::ssize(m_hard_ends);
        said.insert(said.begin(), m_ride_sentences.begin(), hard_ends);
        said.insert(said.end(), hard_ends, m_ride_sentences.end());
        return said;
    }

    damper::CurveOptions asked(std::vector<double> speeds) const {
        return {std::move(speeds), m_options.travel, m_options.rod_into, m_options.top_speed};
    }

    const PageSource& m_source;
    const PageOptions& m_options;
    damper::LiftCache& m_lifts;
    setup::Document m_document;
    setup::Reading m_reading;
    std::optional<study::CurveResult> m_curve;
    std::optional<study::SupportResult> m_support;
    std::vector<std::string> m_ride_sentences;
    std::vector<std::string> m_worst_of_rides;
    std::vector<std::string> m_hard_ends;
    std::vector<LeftOut> m_left_out;
    bool m_is_complete = true;
};

study::EvaluateOptions at(const PageOptions& options) {
    return {options.travel, options.rod_into, options.top_speed};
}

/// What set-ups are compared over: nothing where one does not say what rides on its wheel.
std::vector<study::RideEvent> events_of(const std::vector<Part>& parts, const PageOptions& options) {
    std::vector<study::RideEvent> events;
    if (std::all_of(parts.begin(), parts.end(),
                    [](const Part& part) { return part.reading().vehicle.has_value(); }))
        for (const RideNames::Event& one : options.events)
            events.emplace_back(study::NamedEvent{one.file, one.event});
    return events;
}

/// What the first of `documents` should be changed to for the goal, the others beside it.
Json advice_json(const std::vector<setup::Document>& documents, const PageOptions& options,
                 damper::LiftCache& lifts) {
    study::AdviseOptions asked = options.advise;
    asked.at = at(options);
    asked.beside.assign(documents.begin() + 1, documents.end());
    return json(study::advise(documents.front(), options.goal.value(), asked, lifts));
}

/// What can be built for the goal from what lies at hand.
Json search_json(const Part& first, const PageOptions& options, damper::LiftCache& lifts) {
    const PageDrawer& at_hand = options.drawer.value();
    const study::Goal& goal = options.goal.value();
    study::SearchOptions asked = at_hand.options;
    asked.at = at(options);
    const study::SearchQuestion question(first.reading(), goal, at_hand.drawer, asked, lifts);
    return json(question, study::search(question, at_hand.hooks),
                {first.document().path(), first.reading().title, goal.path, goal.title, at_hand.path,
                 at_hand.drawer.title});
}

/// The names of the events that figures are asked over, by file.
Json events_json(const PageOptions& options) {
    Json events = Json::object();
    for (const RideNames::Event& one : options.events)
        events[one.file] = one.title;
    if (options.goal)
        for (const study::RideEvent& one : options.goal->events())
            events[one->file] = one->event.title;
    return events;
}

/// What a reader should hear first: what goes wrong over the events, then what is told of one set-up or of
/// all against the first (`not_compared` says why they are not), and at which speeds there is no solution.
std::vector<std::string> answer(const std::vector<Part>& parts,
                                const std::optional<study::Comparison>& comparison,
                                const std::string& not_compared) {
    std::vector<std::string> said;
    const auto add = [&](const std::vector<std::string>& sentences) {
        said.insert(said.end(), sentences.begin(), sentences.end());
    };
    const Part& first = parts.front();
    if (parts.size() == 1) {
        add(first.worst_of_rides());
        add(first.curve() ? report::answer(*first.curve()) : first.left_out());
        return said;
    }
    for (std::size_t i = 0; i < parts.size(); ++i)
        for (const std::string& sentence : parts[i].hard_ends())
            said.push_back(fmt::format("{}. {}", setup_letter(i), sentence));
    add(comparison ? report::answer(*comparison) : std::vector<std::string>{not_compared});
    for (std::size_t i = 0; i < parts.size(); ++i)
        if (const std::optional<study::CurveResult>& curve = parts[i].curve())
            for (const std::string& sentence : no_solution(curve->curve))
                said.push_back(fmt::format("{}. {}", setup_letter(i), sentence));
    return said;
}

} // namespace

Page page(const std::vector<PageSource>& sources, const PageOptions& options, damper::LiftCache& lifts) {
    if (sources.empty()) throw std::invalid_argument("page: no set-up");
    std::vector<Part> parts;
    std::vector<setup::Document> documents;
    for (const PageSource& source : sources) {
        parts.emplace_back(source, options, lifts);
        documents.push_back(parts.back().document());
    }
    Page result;
    std::optional<study::Comparison> comparison;
    std::string not_compared;
    if (sources.size() > 1) {
        if (options.progress) options.progress("what changed, and why");
        try {
            comparison =
                study::compare(documents, {at(options), options.run, {}, events_of(parts, options)}, lifts);
        } catch (const SolveError& error) {
            not_compared = fmt::format("Not compared: {}", error.what());
            result.is_complete = false;
        }
    }

    Json setups = Json::array();
    const Part& first = parts.front();
    std::optional<AsFound> found;
    if (parts.size() > 1)
        found = as_found(first.document());
    else if (const std::vector<std::string>& chain = first.document().chain(); chain.size() > 1)
        found = as_found(setup::Document::load(chain.back()));
    for (std::size_t i = 0; i < parts.size(); ++i) {
        Part& part = parts[i];
        if (comparison) part.add_compared(comparison->setups[i]);
        const bool is_reference = parts.size() > 1 && i == 0;
        setups.push_back(part.solve(setup_letter(i), found && !is_reference ? &*found : nullptr,
                                    comparison && i > 0 ? &comparison->variants[i - 1] : nullptr));
        result.is_complete = result.is_complete && part.is_complete();
        for (const std::string& warning : part.reading().warnings)
            if (std::find(result.warnings.begin(), result.warnings.end(), warning) == result.warnings.end())
                result.warnings.push_back(warning);
    }
    if (comparison) result.is_complete = result.is_complete && !comparison->failed();

    const auto unless_unsolvable = [&](std::string_view what, const auto& solve) -> Json {
        try {
            return solve();
        } catch (const SolveError& error) {
            setups.at(0).at("left_out").push_back(fmt::format("{}: {}", what, error.what()));
            result.is_complete = false;
            return nullptr;
        }
    };
    Json advice;
    Json search;
    if (options.goal)
        advice = unless_unsolvable("What to change", [&] { return advice_json(documents, options, lifts); });
    if (options.goal && options.drawer)
        search = unless_unsolvable("From the drawer", [&] { return search_json(first, options, lifts); });

    result.data["page"] = 1;
    result.data["program"] = options.program;
    result.data["theory"] = stack::name(lifts.options().theory);
    result.data["fields"] = page_fields();
    result.data["measures"] = described_magnitudes();
    result.data["answer"] = answer(parts, comparison, not_compared);
    result.data["advice"] = std::move(advice);
    result.data["search"] = std::move(search);
    result.data["events"] = events_json(options);
    result.data["cautions"] = cautions();
    result.data["method"] = method(lifts.options());
    result.data["setups"] = std::move(setups);
    result.data["comparison"] = comparison ? json(*comparison) : Json(nullptr);
    return result;
}

} // namespace valve::report
