#include <program/run.hpp>
#include <support/catch.hpp>

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>

using namespace valve::tests;
using nlohmann::json;

namespace {

/// A figure: its key with the unit, and the rod speed, share of the travel and frequency that it belongs to.
using Name = std::tuple<std::string, json, json, json>;

/// What every command says of a figure of one set-up.
class Answers {
public:
    /// All figures in `part` of an answer of `command`, whose value is under `value`.
    void add_figures(const std::string& command, const json& part, const char* value) {
        if (part.is_object() && part.contains("quantity") && part.contains(value))
            add(command,
                {part.at("quantity"), part.at("speed_m_s"), part.at("travel_share"), part.at("frequency_Hz")},
                part.at(value));
        if (part.is_structured())
            for (const json& inner : part)
                add_figures(command, inner, value);
    }

    void add(const std::string& command, const Name& name, const json& value) {
        CAPTURE(command, std::get<0>(name), std::get<1>(name));
        m_by_name[name][command] = value;
        for (const auto& [other, told] : m_by_name[name]) {
            CAPTURE(other);
            CHECK(told == value); // to the last digit
        }
    }

    /// How many figures two commands and more have told.
    long shared() const {
        return std::count_if(m_by_name.begin(), m_by_name.end(),
                             [](const auto& entry) { return entry.second.size() > 1; });
    }
    const std::map<std::string, json>& told(const Name& name) const { return m_by_name.at(name); }

private:
    std::map<Name, std::map<std::string, json>> m_by_name;
};

json answer(const std::string& arguments) {
    const Run run = valve::tests::run(arguments + " --json");
    INFO("valve " << arguments << "\n" << run.err);
    REQUIRE(run.status == 0);
    return json::parse(run.out);
}

/// The lowest speed of the warnings of one kind; null where there is none.
json lowest(const json& warned, std::string_view kind) {
    json least = nullptr;
    for (const json& warning : warned)
        if (warning.at("kind") == kind && (least.is_null() || warning.at("speed_m_s") < least))
            least = warning.at("speed_m_s");
    return least;
}

/// A curve at any speeds, in figures of `compare`.
void add_curve(Answers& answers, const std::string& command, const json& curve) {
    const auto whole = [&](const std::string& name, const json& value) {
        answers.add(command, {name, nullptr, nullptr, nullptr}, value);
    };
    for (const auto& [there, here] : {std::pair{"void_onset", "void_onset_"},
                                      std::pair{"void_onset_near_extension", "void_onset_near_extension_"}})
        for (const char* way : {"rebound_m_s", "compression_m_s"})
            whole(std::string(here) + way, curve.at(there).at(way));
    for (const json& port : curve.at("ports")) {
        std::string valve = port.at("valve");
        valve.replace(valve.find('.'), 1, "_");
        whole("ports_lead_" + valve + "_m_s", port.at("ports_lead_from_m_s"));
    }
    for (const json& point : curve.at("points"))
        for (const char* name : {"damping_force_N", "refill_deficit_Pa", "balance_margin_Pa"})
            if (!point.at(name).is_null())
                answers.add(command, {name, point.at("speed_m_s"), nullptr, nullptr}, point.at(name));
    if (!curve.contains("warned")) return;
    whole("balance_negative_from_m_s", curve.at("balance_negative_from_m_s"));
    whole("shims_set_from_m_s", lowest(curve.at("warned"), "shim_keeps_set"));
    whole("shims_life_from_m_s", lowest(curve.at("warned"), "shim_life_ends"));
}

} // namespace

TEST_CASE("a figure has one value, whichever command tells it and whatever speeds were asked", "[program]") {
    if (VALVE_SANITIZED) return; // minutes there, and tests of their own run every command
    const std::string file = "stacks/rally-fork.yaml";
    const std::string variant = "stacks/rally-fork-softer-check.yaml";
    Answers answers;
    answers.add_figures("compare", answer("compare " + file + " " + variant).at("setups").at(0), "value");
    answers.add_figures("compare, the other way",
                        answer("compare " + variant + " " + file).at("setups").at(1), "value");
    add_curve(answers, "curve", answer("curve " + file));
    add_curve(answers, "curve at one speed", answer("curve " + file + " --speeds=-1"));
    const json inspected = answer("inspect " + file).at("warned");
    answers.add("inspect", {"shims_set_from_m_s", nullptr, nullptr, nullptr},
                lowest(inspected, "shim_keeps_set"));
    answers.add("inspect", {"shims_life_from_m_s", nullptr, nullptr, nullptr},
                lowest(inspected, "shim_life_ends"));

    for (const json& member :
         answer("curve " + file + " --sweep base.compression=4,10 --speeds=1,-1,-3").at("family"))
        if (member.at("setting") == "10") add_curve(answers, "curve --sweep", member);
    for (const json& point :
         answer("curve " + file + " --travels 20,150 --speeds=-1,1,3").at("map").at("points"))
        if (point.at("travel_m") == 0.15)
            for (const char* name : {"refill_deficit_Pa", "balance_margin_Pa"})
                if (!point.at(name).is_null())
                    answers.add("curve --travels", {name, point.at("speed_m_s"), nullptr, nullptr},
                                point.at(name));

    const json table =
        answer("compare --table " + variant + " " + file +
               " --figures void_onset_rebound,damping_force@-1,damping_force@1,refill_deficit@-1,"
               "shims_life_from,balance_negative_from,rider_sag,support_force@90%");
    for (std::size_t i = 0; i < table.at("columns").size(); ++i) {
        json figure = table.at("columns").at(i);
        figure["value"] = table.at("rows").at(1).at("values").at(i);
        answers.add_figures("compare --table", figure, "value");
    }
    const json page = answer("report " + file + " " + variant).at("setups").at(0);
    add_curve(answers, "report", page.at("curve"));
    for (const json& member : page.at("fade").at("family"))
        if (member.at("setting") == "40 C") add_curve(answers, "report, fade", member);

    std::printf("counted: %ld figures of the demo told alike by two commands and more\n", answers.shared());
    CHECK(answers.shared() > 25);
    CHECK(answers.told({"void_onset_rebound_m_s", nullptr, nullptr, nullptr}).size() > 6);
    CHECK(answers.told({"refill_deficit_Pa", -1.0, nullptr, nullptr}).size() > 6);
}

namespace {

/// What advice, with its first change made, and diagnosis tell.
void add_choices(Answers& answers, const std::string& file, const std::string& shape) {
    const json advice = answer("advise " + file + " --goal stacks/goals/refill.yaml --pairs 0" + shape);
    answers.add_figures("advise", advice.at("lines"), "today");
    for (const json& change : advice.at("changes"))
        answers.add_figures("advise, moved", change.at("moves"), "from");
    const json diagnosis = answer("diagnose " + file + shape);
    CHECK(diagnosis.at("shape") == advice.at("shape"));
    answers.add_figures("diagnose", {diagnosis.at("faults"), diagnosis.at("sound")}, "value");
    for (const json& fault : diagnosis.at("faults"))
        if (!fault.at("mend").is_null())
            answers.add_figures("diagnose, moved", fault.at("mend").at("moves"), "from");
}

} // namespace

TEST_CASE("advice and diagnosis tell the figures of a comparison, in either shape of the stacks",
          "[program]") {
    if (VALVE_SANITIZED) return; // as above
    const std::string file = "stacks/rally-fork.yaml";
    for (const std::string shape : {"", " --round"}) {
        CAPTURE(shape);
        Answers answers;
        const json comparison = answer("compare " + file + " stacks/rally-fork-softer-check.yaml" + shape);
        answers.add_figures("compare", comparison.at("setups").at(0), "value");
        add_curve(answers, "curve", answer("curve " + file + " --speeds=-3,-1,1,3" + shape));
        add_choices(answers, file, shape);
        CHECK(answers.told({"refill_deficit_Pa", -1.0, nullptr, nullptr}).size() > 3);
        CHECK(answers.told({"shims_set_from_m_s", nullptr, nullptr, nullptr}).size() > 2);
        CHECK(answers.told({"damping_force_N", -3.0, nullptr, nullptr}).size() > 1);
    }
}

TEST_CASE("what advice claims of a change is what the other commands tell of the changed file", "[program]") {
    if (VALVE_SANITIZED) return; // as above
    const std::string file = "stacks/rally-fork.yaml";
    const std::string changed =
        (std::filesystem::temp_directory_path() / "valve-advised-refill.yaml").string();
    const json advice = answer("advise " + file + " --goal stacks/goals/refill.yaml --pairs 0 -o " + changed);
    CHECK(advice.at("shape") == "as it bends");
    CHECK(advice.at("solved_again") == true);
    const json& first = advice.at("changes").at(0);
    Answers answers;
    answers.add_figures("compare", answer("compare " + file + " " + changed).at("setups").at(1), "value");
    const long in_compare = answers.shared();
    CHECK(in_compare == 0);
    answers.add_figures("advise", first.at("moves"), "to");
    for (std::size_t i = 0; i < advice.at("lines").size(); ++i) {
        json line = advice.at("lines").at(i);
        // The size of a force counts in a goal; compare tells it with its sign.
        const bool is_of_size = line.at("quantity") == "damping_force_N" && line.at("speed_m_s") < 0.0;
        const double value = first.at("lines").at(i).at("value");
        line["value"] = is_of_size ? -value : value;
        if (line.at("quantity") == "void_onset_near_extension_rebound_m_s") continue; // "none" counts as 4
        answers.add_figures("advise, its goal", line, "value");
    }
    std::printf("counted: %ld figures of a change told alike by advise and compare\n", answers.shared());
    CHECK(answers.shared() > 8);
    std::filesystem::remove(changed);
}
