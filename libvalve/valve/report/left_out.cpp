#include <valve/report/figure_words.hpp>
#include <valve/report/left_out.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>
#include <utility>

namespace valve::report {

namespace {

using List = std::vector<LeftOut>;

/// `error(row)` is empty where a row is solved.
template <class Rows, class Error>
void add_first(List& list, const std::string& what, const Rows& rows, const Error& error) {
    std::string first;
    int count = 0;
    for (const auto& row : rows) {
        const std::string why = error(row);
        if (why.empty()) continue;
        if (count++ == 0) first = why;
    }
    if (count > 0) list.push_back({what, "", first, count});
}

void add(List& list, const std::string& what, const damper::VoidOnset& onset) {
    for (const auto& [way, end] :
         {std::pair{"compression", &onset.compression_end}, std::pair{"rebound", &onset.rebound_end}})
        if (*end)
            list.push_back(
                {what, "", fmt::format("the search for voids on {} broke off: {}", way, (*end)->why)});
}

void add(List& list, const std::string& what, const damper::Curve& curve) {
    add_first(list, what, curve.points,
              [](const damper::SteadyPoint& point) { return point.error.value_or(""); });
    add(list, what, curve.void_onset);
    add(list, what, curve.void_onset_near_extension);
}

/// The words of a reason, a sign for each number: what tells causes apart.
std::string cause_of(const std::string& why) {
    const auto in_number = [](char c) {
        return std::isdigit(static_cast<unsigned char>(c)) != 0 || c == '.';
    };
    std::string cause;
    for (std::size_t i = 0; i < why.size(); ++i) {
        if (std::isdigit(static_cast<unsigned char>(why[i])) == 0) {
            cause += why[i];
            continue;
        }
        if (!cause.empty() && cause.back() == '-') cause.pop_back();
        while (i + 1 < why.size() && in_number(why[i + 1]))
            ++i;
        cause += '#';
    }
    return cause;
}

/// "piston.rebound at 6"
std::string name_of(const LeftOut& one) {
    return one.of.empty() ? one.what : fmt::format("{} {}", one.what, one.of);
}

/// What is left out by one cause: the first of it, its points, and the others by what they are of.
struct Cause {
    LeftOut first;
    int points = 0;
    std::vector<std::pair<std::string, List>> others = {};
};

void add(Cause& cause, const LeftOut& one) {
    const LeftOut& first = cause.first;
    if (one.what == first.what && one.of == first.of) {
        cause.points += one.points;
        return;
    }
    const auto same_what =
        std::find_if(cause.others.begin(), cause.others.end(),
                     [&](const std::pair<std::string, List>& other) { return other.first == one.what; });
    if (same_what == cause.others.end())
        cause.others.push_back({one.what, {one}});
    else if (std::none_of(same_what->second.begin(), same_what->second.end(),
                          [&](const LeftOut& other) { return other.of == one.of; }))
        same_what->second.push_back(one);
}

std::string sentence(const Cause& cause) {
    std::string text = fmt::format("{}: {}", name_of(cause.first), cause.first.why);
    if (cause.points > 1) text += fmt::format(" ({} points without a solution in all)", cause.points);
    std::vector<std::string> others;
    for (const auto& [what, list] : cause.others) {
        std::string other = what;
        for (const LeftOut& one : list)
            if (!one.of.empty()) other += (&one == &list.front() ? " " : ", ") + one.of;
        others.push_back(other);
    }
    if (!others.empty()) text += fmt::format(". Alike but for numbers: {}", fmt::join(others, "; "));
    return text;
}

} // namespace

std::vector<LeftOut> left_out(const std::string& what, const study::CurveResult& result) {
    List list;
    add(list, what, result.curve);
    if (result.measured)
        add_first(list, what, result.measured->deviations.points, [](const damper::Deviation& point) {
            return point.error ? "a measured point has no prediction: " + *point.error : std::string();
        });
    return list;
}

std::vector<LeftOut> left_out(const std::string& what, const study::BalanceMap& map) {
    List list;
    for (const damper::Curve& curve : map.curves)
        add(list, what, curve);
    if (!map.lead) list.push_back({what, "", map.lead_error});
    return list;
}

std::vector<LeftOut> left_out(const std::string& what, const study::LiftResult& result) {
    List list;
    if (!result.curve) list.push_back({what, "", result.error});
    add_first(list, what, result.rows, [&](const study::LiftRow& row) {
        return row.state || !result.curve ? std::string() : row.error;
    });
    return list;
}

std::vector<LeftOut> left_out(const std::string& what, const study::Headline& headline) {
    List list;
    for (const study::Figure& figure : headline.figures)
        if (!figure.error.empty()) list.push_back({what, words(figure), figure.error});
    return list;
}

std::vector<std::string> sentences(const std::vector<LeftOut>& list) {
    std::vector<std::pair<std::string, Cause>> causes;
    for (const LeftOut& one : list) {
        const std::string words = cause_of(one.why);
        const auto known =
            std::find_if(causes.begin(), causes.end(),
                         [&](const std::pair<std::string, Cause>& cause) { return cause.first == words; });
        if (known == causes.end())
            causes.push_back({words, {one, one.points}});
        else
            add(known->second, one);
    }
    std::vector<std::string> said;
    for (const auto& [words, cause] : causes)
        said.push_back(sentence(cause));
    return said;
}

} // namespace valve::report
