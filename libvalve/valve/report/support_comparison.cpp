#include <valve/report/support_comparison.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace valve::report {

namespace {

using study::SupportResult;

/// One row of the comparison: what it says of a result, and the digits it is worth.
struct Row {
    std::string name;
    std::string unit;
    int decimals = 0;
    std::function<double(const SupportResult&)> value;
};

double force_in(const SupportResult& result, double share) {
    return result.law.at(share * result.law.travel()).force + result.law.friction();
}

std::vector<Row> rows_of(const std::vector<SupportResult>& results) {
    const double whole = results.front().law.travel();
    const auto force_at = [whole](const char* where, double share) {
        return Row{fmt::format("force going in at {} mm{}", trim_mm(share * whole), where), "N", 0,
                   [share](const SupportResult& r) { return force_in(r, share); }};
    };
    std::vector<Row> rows{
        {"force that starts it", "N", 1,
         [](const SupportResult& r) { return r.start.force + r.law.breakaway(); }},
        {"rod of one damper alone starts at", "N", 1, [](const SupportResult& r) { return r.rod_start; }},
        force_at(" (first tenth)", 0.1),
        force_at(" (first third)", 1.0 / 3.0),
        force_at(" (two thirds)", 2.0 / 3.0),
        force_at(" (last tenth)", 0.9),
        force_at(" (end)", 1.0),
        {"energy to full travel", "J", 0, [](const SupportResult& r) { return r.end.energy; }},
        {"sliding friction", "N", 1, [](const SupportResult& r) { return r.law.friction(); }},
        {"reservoir at full extension", "bar gauge", 2,
         [](const SupportResult& r) { return (r.start.p_S - p_atm) / 1e5; }},
        {"reservoir at full travel", "bar gauge", 2,
         [](const SupportResult& r) { return (r.end.p_S - p_atm) / 1e5; }},
        {fmt::format("a hit of {} J uses", fixed(results.front().hit, 0)), "mm", 1,
         [](const SupportResult& r) { return r.hit_used.travel * 1e3; }}};
    const bool have_sag =
        std::all_of(results.begin(), results.end(), [](const SupportResult& r) { return r.sag.has_value(); });
    if (have_sag) {
        rows.push_back(
            {"sag with the rider", "mm", 1, [](const SupportResult& r) { return r.sag->rest.travel * 1e3; }});
        rows.push_back({"sag without the rider", "mm", 1,
                        [](const SupportResult& r) { return r.free_sag->rest.travel * 1e3; }});
    }
    return rows;
}

/// "12 N more (1.4 %)", "as much".
std::string against(double value, double reference, const std::string& unit, int decimals) {
    const std::string difference = fixed(std::abs(value - reference), decimals);
    if (difference == fixed(0.0, decimals)) return "as much";
    std::string text = fmt::format("{} {} {}", difference, unit, value > reference ? "more" : "less");
    if (reference > 0.0) text += fmt::format(" ({} %)", fixed(std::abs(value / reference - 1.0) * 100.0, 1));
    return text;
}

std::string change_sentence(const SupportResult& first, const SupportResult& other, const std::string& name) {
    const double tenth = 0.1 * first.law.travel();
    const auto more = [&](double share) {
        return against(force_in(other, share), force_in(first, share), "N", 1);
    };
    return fmt::format(
        "{} against A: to start it takes {}; going in at {} mm {}, at {} mm {}, at {} mm {}; the hit uses {} "
        "of "
        "travel.",
        name,
        against(other.start.force + other.law.breakaway(), first.start.force + first.law.breakaway(), "N", 1),
        trim_mm(tenth), more(0.1), trim_mm(9.0 * tenth), more(0.9), trim_mm(10.0 * tenth), more(1.0),
        against(other.hit_used.travel * 1e3, first.hit_used.travel * 1e3, "mm", 1));
}

std::string ends_text(const std::vector<SupportResult>& ends) {
    const study::Ride ride = study::ride_of(ends);
    const std::string words = fmt::format(
        "Ride frequency with the rider: front {}, rear {}; front to rear {}. Undamped, on the supports "
        "alone: no tyre, and each end for itself.",
        hertz(ride.front), hertz(ride.rear), ride.ratio ? fixed(*ride.ratio, 2) : "unknown");
    std::string out = wrapped(words, page_columns, "  ") + "\n";
    for (const SupportResult& result : ends)
        out += "\n" + headline(result) + "\n" + travel_table(result);
    return out;
}

std::string side_by_side(const std::vector<SupportResult>& results) {
    std::string out;
    for (std::size_t i = 0; i < results.size(); ++i)
        out += fmt::format("{}  {}: {}\n", setup_letter(i), results[i].file, results[i].reading.title);
    for (std::size_t i = 1; i < results.size(); ++i)
        out += "   " +
               wrapped(change_sentence(results.front(), results[i], setup_letter(i)), page_columns - 3,
                       "     ") +
               "\n";

    std::vector<Table::Column> columns{{"", "", true}, {"", "", true}};
    for (std::size_t i = 0; i < results.size(); ++i)
        columns.push_back({setup_letter(i), ""});
    Table table(columns);
    for (const Row& row : rows_of(results)) {
        std::vector<std::string> cells{row.name, row.unit};
        for (const SupportResult& result : results)
            cells.push_back(fixed(row.value(result), row.decimals));
        table.add(cells);
    }
    const int legs = results.front().support().legs;
    out += fmt::format("\nForces of {}\n{}", legs == 2 ? "both legs together" : "one leg or shock",
                       table.text());
    return out + "  Shares of the travel are each set-up's own. `valve support FILE` shows one in full.\n";
}

} // namespace

Json json(const std::vector<SupportResult>& results) {
    Json object;
    object["setups"] = Json::array();
    for (const SupportResult& result : results)
        object["setups"].push_back(json(result));
    object["ride"] = nullptr;
    if (study::are_two_ends(results)) {
        const study::Ride ride = study::ride_of(results);
        object["ride"] = {{"front_Hz", or_null(ride.front)},
                          {"rear_Hz", or_null(ride.rear)},
                          {"front_to_rear", or_null(ride.ratio)}};
    }
    return object;
}

Json points(const std::vector<SupportResult>& results) {
    Json rows = Json::array();
    for (const SupportResult& result : results)
        for (const damper::SupportPoint& point : result.points) {
            Json row;
            row["file"] = result.file;
            row.update(json(point, result.law));
            rows.push_back(row);
        }
    return rows;
}

std::string text(const std::vector<SupportResult>& results) {
    return study::are_two_ends(results) ? ends_text(results) : side_by_side(results);
}

} // namespace valve::report
