#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/report/json.hpp>
#include <valve/report/ride.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/drawer.hpp>
#include <valve/study/advise.hpp>
#include <valve/study/run.hpp>
#include <valve/study/search.hpp>

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace valve::report {

/// A file of a page, with the values given beside it.
struct PageSource {
    std::string file;
    std::vector<setup::Override> overrides = {};
};

/// What lies at hand for the first set-up, and how it is searched.
struct PageDrawer {
    std::string path;
    setup::Drawer drawer;
    study::SearchOptions options = {}; ///< `at` is that of the page
    study::SearchHooks hooks = {};
};

struct PageOptions {
    std::string program;                         ///< name and version, for the record
    std::optional<double> travel = std::nullopt; ///< rod travel from full extension [m]; none: mid travel
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    double top_speed = damper::usual_top_speed;       ///< of the search for onsets [m/s]
    std::optional<study::RunFile> run = std::nullopt; ///< to lay over the prediction
    std::vector<RideNames::Event> events = {};        ///< that every set-up with a vehicle rides
    std::optional<study::Goal> goal = std::nullopt;   ///< that changes of the first set-up are looked for
    study::AdviseOptions advise = {};                 ///< how; `at` and `beside` are those of the page
    std::optional<PageDrawer> drawer = std::nullopt;  ///< to build from for the goal; none without one
    /// Told what is begun: "B: rides". Advice and search tell theirs themselves.
    std::function<void(const std::string& what)> progress = {};
};

/// Everything that a page for the workshop shows, in one object.
struct Page { // NOLINT(bugprone-exception-escape): moving JSON checks itself
    Json data;
    std::vector<std::string> warnings; ///< of the files read, each once
    bool is_complete = true;           ///< false: some part could not be solved; the data say which and why
};

/// Solves the set-ups of `sources`, one at least. The unit as found, which build sheets mark changes from, is
/// the first of several, which are compared, over the events, too, where all state a wheel, and held against
/// the goal; of one, the file at the end of its `from:` chain.
/// The objects "inspect", "curve", "support", "lift", "families", "fade", "wear", "map", "comparison" and
/// "advice", with a goal, and "search", with a drawer too, are those of the commands that show them alone,
/// "cycles" and "rides" what is drawn of `cycle` and `ride`. Throws InputError for a file that cannot be
/// read, or, of several, for one without a damper; what cannot be solved is left out and named under
/// "left_out".
Page page(const std::vector<PageSource>& sources, const PageOptions& options, damper::LiftCache& lifts);

} // namespace valve::report
