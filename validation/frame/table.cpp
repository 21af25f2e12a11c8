#include <frame/table.hpp>

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <iterator>

namespace valve::validation {
namespace {

constexpr std::array<Kind, 4> all_kinds{Kind::published, Kind::computed_reference, Kind::memory,
                                        Kind::common_practice};

struct Count {
    int passed = 0;
    int failed = 0;

    void add(const Check& check) { check.passed() ? ++passed : ++failed; }
};

Count count(const Recorder& recorder) {
    Count count;
    for (const Check& check : recorder.checks())
        count.add(check);
    return count;
}

Count count(std::span<const Recorder> recorders, Kind kind) {
    Count count;
    for (const Recorder& recorder : recorders)
        for (const Check& check : recorder.checks())
            if (check.kind == kind) count.add(check);
    return count;
}

/// Kind and source.
std::string origin(const Check& check) {
    if (check.source == no_source()) return check.source.where;
    if (check.source.key.empty()) return fmt::format("{}: {}", name(check.kind), check.source.where);
    return fmt::format("{}: {}, {}", name(check.kind), check.source.key, check.source.where);
}

std::string tolerance(const Check& check) {
    const std::string_view measure = name(check.tolerance.measure);
    if (check.tolerance.is_bound()) return std::string{measure};
    return fmt::format("{:.2g} {}", check.tolerance.size, measure.substr(0, 3));
}

std::string digits(const Check& check) {
    const std::optional<double> digits = check.digits();
    return digits ? fmt::format("{:.1f}", *digits) : "-";
}

std::string row(const Check& check) {
    const std::string unit = check.unit.empty() ? "" : fmt::format(" [{}]", check.unit);
    return fmt::format("{:<52} {:>14.7g} {:>14.7g} {:>6} {:>11}  {}\n"
                       "    {}; {}\n",
                       check.name + unit, check.expected, check.got, digits(check), tolerance(check),
                       check.passed() ? "pass" : "FAIL", origin(check), check.tolerance.why);
}

/// How many checks there are of each kind and in all, and how many of all fail.
std::string summary_row(std::string_view what, std::span<const Recorder> recorders) {
    std::string row = fmt::format("{:<12}", what);
    Count all;
    for (const Kind kind : all_kinds) {
        const Count of_kind = count(recorders, kind);
        row += fmt::format(" {:>18}", of_kind.passed + of_kind.failed);
        all.passed += of_kind.passed;
        all.failed += of_kind.failed;
    }
    return row + fmt::format(" {:>8} {:>8}\n", all.passed + all.failed, all.failed);
}

nlohmann::ordered_json to_json(const Count& count) {
    return {{"passed", count.passed}, {"failed", count.failed}};
}

nlohmann::ordered_json to_json(const Recorder& recorder, const Check& check) {
    const std::optional<double> digits = check.digits();
    nlohmann::ordered_json json{{"module", recorder.module()},
                                {"name", check.name},
                                {"source", check.source.key},
                                {"where", check.source.where},
                                {"kind", name(check.kind)},
                                {"unit", check.unit},
                                {"expected", check.expected},
                                {"got", nullptr},
                                {"digits", nullptr},
                                {"tolerance", nullptr},
                                {"measure", name(check.tolerance.measure)},
                                {"why", check.tolerance.why},
                                {"passed", check.passed()}};
    if (std::isfinite(check.got)) json["got"] = check.got;
    if (digits) json["digits"] = *digits;
    if (!check.tolerance.is_bound()) json["tolerance"] = check.tolerance.size;
    return json;
}

} // namespace

std::string table(std::span<const Recorder> recorders) {
    std::string text;
    for (const Recorder& recorder : recorders) {
        text += fmt::format("{:<52} {:>14} {:>14} {:>6} {:>11}\n", recorder.module(), "expected", "got",
                            "digits", "tolerance");
        for (const Check& check : recorder.checks())
            text += row(check);
        text += "\n";
    }
    text += fmt::format("{:<12}", "checks");
    for (const Kind kind : all_kinds)
        text += fmt::format(" {:>18}", name(kind));
    text += fmt::format(" {:>8} {:>8}\n", "all", "failed");
    for (const Recorder& recorder : recorders)
        text += summary_row(recorder.module(), {&recorder, 1});
    return text + summary_row("all", recorders);
}

nlohmann::ordered_json json(std::span<const Recorder> recorders) {
    nlohmann::ordered_json checks = nlohmann::ordered_json::array();
    nlohmann::ordered_json modules = nlohmann::ordered_json::object();
    nlohmann::ordered_json kinds = nlohmann::ordered_json::object();
    for (const Recorder& recorder : recorders) {
        for (const Check& check : recorder.checks())
            checks.push_back(to_json(recorder, check));
        modules[recorder.module()] = to_json(count(recorder));
    }
    for (const Kind kind : all_kinds)
        kinds[std::string{name(kind)}] = to_json(count(recorders, kind));
    return {{"checks", checks}, {"modules", modules}, {"kinds", kinds}};
}

} // namespace valve::validation
