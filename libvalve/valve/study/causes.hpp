#pragma once

#include <valve/setup/document.hpp>
#include <valve/study/headline.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// What one changed key does by itself. Without headline where the set-up cannot stand or be solved so.
struct Trial {
    std::string key;
    std::optional<Headline> undone;  ///< the variant without it
    std::optional<Headline> applied; ///< the reference with it alone
};

/// What one key does to one figure.
struct Share {
    std::string key;
    std::optional<double> value;   ///< of the figure with the key undone [SI]
    std::optional<double> undone;  ///< what undoing it takes back, of the whole change; 1 = all of it
    std::optional<double> applied; ///< what it alone brings about, of the whole change
    std::optional<double> effect =
        std::nullopt; ///< what it does among the others: the change less `value` [SI]
};

/// How the keys named for a change make it.
enum class Cause {
    one_key,
    together,    ///< undoing any of them takes back a part
    cancelling,  ///< their effects are opposite, and the change is what is left
    overlapping, ///< undoing one takes back little, since the others do what it did
    unclear      ///< no trial shows it: all keys are named
};

/// A figure that moved from the reference to a variant.
struct Change {
    Figure from;
    Figure to;
    Cause cause = Cause::unclear;
    std::vector<std::string> because = {}; ///< keys
    std::vector<Share> shares = {};        ///< every changed key
    double noticed = 0.0;                  ///< the change in steps that a rider notices [-]
};

/// A variant beside the reference.
struct Variant {
    std::vector<setup::Difference> differences; ///< as written, those that make one
    std::vector<Change> changes;                ///< what a rider notices most comes first
    std::vector<Figure> unchanged;
    std::vector<Change> balanced = {};                      ///< of the unchanged, those whose keys cancel out
    std::optional<Change> largest_unchanged = std::nullopt; ///< that moved most, if any did
    std::vector<setup::Difference> told = {}; ///< the differences, in order, as setup::told_differences()
    /// Of those told, what no figure that was asked can rest on: no cycle was run, or no ride.
    std::vector<setup::Difference> not_asked = {};
};

/// Parts of a change below which a key is not among its causes, and above which it is the cause unless
/// another is too [-].
inline constexpr double least_part = 0.1;
inline constexpr double leading_part = 0.5;

/// Share of a figure below which a difference counts as none [-].
inline constexpr double alike_share = 0.01;

/// True where a difference is one that a tuner can neither read in the tables nor feel: at most alike_share,
/// or at most the smallest step of the figure's scale.
bool alike(const Figure& from, const Figure& to, double top_speed);

/// Sorts the figures of a variant into changed and unchanged, and puts each change down to keys. The key
/// whose undoing takes back most is the cause where that is more than leading_part of the change; where
/// another key works against it by as much, both cancel. Else those do it together that take back least_part
/// or more; else those that bring it about alone. An onset that is not reached counts as the top speed.
/// Figures that are unsolved on either side are left out.
Variant attribute(const Headline& from, const Headline& to, std::vector<setup::Difference> differences,
                  const std::vector<Trial>& trials);

} // namespace valve::study
