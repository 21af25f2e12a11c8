#pragma once

#include <valve/setup/drawer.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/evaluation.hpp>
#include <valve/study/goal.hpp>
#include <valve/study/stack_family.hpp>

#include <compare>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// What a search may change, and how far it looks.
struct SearchOptions {
    std::vector<damper::Place> places =
        {}; ///< whose stacks may change; empty: all that move a line of the goal
    PileOrder order = PileOrder::taper;
    /// Needles and coils of floats that may be turned, by the names of adjusters(), and `main_spring`.
    std::vector<std::string> adjusters = {};
    /// Ways to build that are screened, before with_fewer_opened(); a family of no more is looked at whole.
    std::size_t most = 6000;
    std::size_t starts = 8; ///< of a larger family: places in it from where a search sets out
    std::uint64_t seed = 1; ///< of these places
    std::size_t answers = 5;
    EvaluateOptions at = {};
};

/// Among SearchOptions::adjusters: the preload of the main spring, by 1 mm up to 20 mm or what there is, as
/// advice turns it (common practice, no source).
inline constexpr const char* main_spring = "support.spring";

/// Throws InputError where `names`, of SearchOptions::adjusters, has one that `reading` has not.
void check_turned(const setup::Reading& reading, const std::vector<std::string>& names);

/// Throws InputError for options that mean nothing; it begins with the member's name.
void check(const SearchOptions& options);

/// One way to build the valves of a search: a stack for each, and which of its fittings.
struct SearchCandidate {
    std::vector<Pile> piles; ///< empty where a valve keeps its shims
    std::vector<std::size_t> fittings;

    auto
    operator<=>(const SearchCandidate&) const = default; // NOLINT(modernize-use-nullptr): a zero of its own
};

/// What is set beside the stacks, which solves none anew.
struct SearchSetting {
    std::vector<double> clicks;                   ///< of each needle that may be turned
    std::optional<double> spring = std::nullopt;  ///< rate [N/m]; none: as it is
    std::optional<double> preload = std::nullopt; ///< of the main spring [m]; none: as it is

    /// Main springs that it exchanges.
    int springs() const { return spring ? 1 : 0; }

    bool operator==(const SearchSetting&) const = default;
};

/// What a float may be given beside shims; each none: as it is.
struct SearchFitting {
    std::optional<double> sleeve = std::nullopt; ///< length [m]
    std::optional<double> coil = std::nullopt;   ///< rate; its preload goes with it [N/m]
    std::optional<double> turns = std::nullopt;  ///< of its adjuster

    bool operator==(const SearchFitting&) const = default;
};

/// One valve whose stack, or whose float's coil, may change.
struct SearchValve {
    damper::Place place = damper::Place::base_compression;
    std::string key; ///< "valves.base.compression"
    Pile present;
    std::vector<stack::Shim> spacers; ///< at the end of the stack, that stay there
    /// Length of the sleeve that there is: the file's, or where the drawer has sleeves what the travel and
    /// the shims make of it. None: the travel stays, whatever shims lie on the sleeve [m].
    std::optional<double> sleeve = std::nullopt;
    bool sleeve_is_written = false;
    double preload = 0.0;                       ///< as the file writes it, of its coil [N]
    std::vector<SearchFitting> fittings = {{}}; ///< the present first
    std::unique_ptr<const StackFamily> family;  ///< none: its shims stay

    double ways() const { return (family ? family->size() : 1.0) * static_cast<double>(fittings.size()); }
};

/// Needle that may be turned.
struct SearchNeedle {
    std::string name;
    std::string key;
    damper::Place place = damper::Place::base_compression;
};

/// What a search is about: the set-up as it is, the goal with its targets, what is at hand, and every way it
/// may be built.
class SearchQuestion {
public:
    /// `reading` holds a damper. Throws InputError where it does not, where nothing that may change moves a
    /// line of the goal, or for a stack of several materials; SolveError where the set-up as it is cannot be
    /// solved. `lifts` must outlive it.
    SearchQuestion(const setup::Reading& reading, Goal goal, const setup::Drawer& drawer,
                   SearchOptions options, damper::LiftCache& lifts);

    const SearchOptions& options() const { return m_options; }
    const Goal& goal() const { return m_goal; }
    const std::vector<Target>& targets() const { return m_targets; }
    const damper::SetUp& unit() const { return *m_reading.unit; }
    const std::vector<SearchValve>& valves() const { return m_valves; }
    const std::vector<SearchNeedle>& needles() const { return m_needles; }
    const std::vector<SearchSetting>& settings() const { return m_settings; } ///< the present first
    const std::vector<setup::ShimSize>& sizes() const {
        return m_sizes;
    } ///< with those of the present stacks
    const Counts& at_hand() const { return m_at_hand; }
    damper::LiftCache& lifts() const { return m_lifts; }

    SearchCandidate present() const;

    /// What is left for valve `valve` beside the others of `candidate`.
    Counts left_for(std::size_t valve, const SearchCandidate& candidate) const;

    /// Shims changed, of all valves together.
    int changed(const SearchCandidate& candidate) const;

    /// Sleeves and coils exchanged.
    int swapped(const SearchCandidate& candidate) const;

    /// The valves that are taken apart for it: bit v for valve v.
    std::uint64_t opened(const SearchCandidate& candidate) const;

    /// Shims, sleeves and coils by which two ways to build differ.
    int apart(const SearchCandidate& a, const SearchCandidate& b) const;

    /// Whether no sleeve or coil of the drawer is in two of the valves of `candidate`, of which there may be
    /// but the first few.
    bool has_parts_for(const SearchCandidate& candidate) const;

    /// Every way to build, if the valves had all that is at hand each.
    double size() const;

    /// The valve with this stack and fitting; none where it cannot be built so.
    std::optional<flow::Valve> valve_with(std::size_t valve, const Pile& pile, std::size_t fitting) const;

    /// The set-up with `setting`.
    void set(damper::SetUp& unit, const SearchSetting& setting) const;

    /// The file with these stacks and settings.
    setup::Document document(const SearchCandidate& candidate, const SearchSetting& setting) const;

    /// The stack as it is written: "6 * 24 x 0.15".
    std::vector<std::string> written(std::size_t valve, const Pile& pile) const;

    /// The lines of the goal, judged. Where `screening`, lines that need the full solution are left out, and
    /// figures are set right by what bending makes of the set-up as it is.
    std::vector<std::optional<LineError>> judged(Evaluation& of, bool screening) const;

    /// Root of the sum of squares of the lines, in steps that a rider notices; infinite where one that counts
    /// is not solved.
    double error(const std::vector<std::optional<LineError>>& lines, bool screening) const;

    /// Which question this is, so that parts of different ones are not put together.
    std::uint64_t fingerprint() const { return m_fingerprint; }

private:
    void find_places(const damper::Model& model);
    void gather(const setup::Drawer& drawer);
    void add_valve(damper::Place place, const setup::Drawer& drawer);
    void add_shims(SearchValve& made, const setup::Drawer& drawer) const;
    void add_fittings(SearchValve& made, const setup::Drawer& drawer, const std::vector<double>& turns) const;
    void add_turned_alone();
    void add_settings(const setup::Drawer& drawer);
    void add_preloads();
    std::vector<double> turns_of(damper::Place place) const;
    bool fit(flow::Valve& made, const SearchValve& searched, const SearchFitting& fitting,
             bool is_as_it_lies) const;
    setup::Document fitted(setup::Document document, const SearchValve& valve, const SearchFitting& fitting,
                           bool is_as_it_lies) const;
    bool moves_goal(damper::Place place, const damper::Model& model) const;
    double speed_to_judge() const;
    void find_offsets(const std::vector<Figure>& today);
    void find_fingerprint(const setup::Drawer& drawer);

    setup::Reading m_reading;
    Goal m_goal;
    SearchOptions m_options;
    damper::LiftCache& m_lifts;
    double m_top_speed = 0.0;
    std::vector<Target> m_targets;
    std::vector<double> m_offsets; ///< what is added to figures of the screen, by lines [SI]
    std::vector<setup::ShimSize> m_sizes;
    Counts m_at_hand;
    std::vector<SearchValve> m_valves;
    std::vector<SearchNeedle> m_needles;
    std::vector<SearchSetting> m_settings;
    std::uint64_t m_fingerprint = 0;
};

/// Whether a figure follows from lift laws alone, so that it can be screened: not stress, nor cycles in time.
bool can_screen(Quantity quantity);

} // namespace valve::study
