#pragma once

#include <valve/report/field.hpp>
#include <valve/report/json.hpp>
#include <valve/study/search.hpp>

#include <string>

namespace valve::report {

/// What a search was asked, as the command line names it.
struct SearchNames {
    std::string file;
    std::string title;
    std::string goal;
    std::string goal_title;
    std::string drawer;
    std::string drawer_title;
};

/// How near a way to build comes, and what it takes.
Fields<study::SearchAnswer> search_answer_fields();

Json json(const study::SearchQuestion& question, const study::SearchResult& result, const SearchNames& names);
std::string text(const study::SearchQuestion& question, const study::SearchResult& result,
                 const SearchNames& names);

/// What a part has looked at, and how the parts are put together.
Json json(const study::SearchPart& part, const std::string& output);
std::string text(const study::SearchPart& part, const std::string& output);

/// "screened 1200 of 6000, best 0.42 steps from the goal".
std::string words(const study::SearchProgress& progress);

} // namespace valve::report
