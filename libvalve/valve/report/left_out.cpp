#include <valve/report/figure_words.hpp>
#include <valve/report/left_out.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <utility>

namespace valve::report {

namespace {

using List = std::vector<std::string>;

/// `error(row)` is empty where a row is solved.
template <class Rows, class Error>
void add_first(List& list, const Rows& rows, const Error& error) {
    std::string first;
    int count = 0;
    for (const auto& row : rows) {
        const std::string why = error(row);
        if (why.empty()) continue;
        if (count++ == 0) first = why;
    }
    if (count == 1) list.push_back(first);
    if (count > 1) list.push_back(fmt::format("{} ({} points without a solution in all)", first, count));
}

void add(List& list, const damper::VoidOnset& onset) {
    for (const auto& [way, end] :
         {std::pair{"compression", &onset.compression_end}, std::pair{"rebound", &onset.rebound_end}})
        if (*end) list.push_back(fmt::format("the search for voids on {} broke off: {}", way, (*end)->why));
}

void add(List& list, const damper::Curve& curve) {
    add_first(list, curve.points, [](const damper::SteadyPoint& point) { return point.error.value_or(""); });
    add(list, curve.void_onset);
    add(list, curve.void_onset_near_extension);
}

} // namespace

std::vector<std::string> left_out(const study::CurveResult& result) {
    List list;
    add(list, result.curve);
    if (result.measured)
        add_first(list, result.measured->deviations.points, [](const damper::Deviation& point) {
            return point.error ? "a measured point has no prediction: " + *point.error : std::string();
        });
    return list;
}

std::vector<std::string> left_out(const study::BalanceMap& map) {
    List list;
    for (const damper::Curve& curve : map.curves)
        add(list, curve);
    if (!map.lead) list.push_back(map.lead_error);
    return list;
}

std::vector<std::string> left_out(const study::LiftResult& result) {
    List list;
    if (!result.curve) list.push_back(result.error);
    add_first(list, result.rows, [&](const study::LiftRow& row) {
        return row.state || !result.curve ? std::string() : row.error;
    });
    return list;
}

std::vector<std::string> left_out(const study::Headline& headline) {
    List list;
    for (const study::Figure& figure : headline.figures)
        if (!figure.error.empty()) list.push_back(fmt::format("{}: {}", words(figure), figure.error));
    return list;
}

} // namespace valve::report
