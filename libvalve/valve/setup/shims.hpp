#pragma once

#include <valve/setup/document.hpp>
#include <valve/setup/keys.hpp>
#include <valve/stack/spec.hpp>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace valve::setup {

Keys material_keys(plate::Material& material);

/// A shim as files and answers name it, "24 x 0.15" [m]: to a millionth of a millimetre, so that inches stay
/// what they are, thicknesses with two decimals at least.
std::string shim_text(double outer_diameter, double thickness);

/// How many shims a list may have, and what it lists.
struct ShimRoom {
    std::size_t most = 200; ///< far above what a post holds
    std::string_view name = "stack";
};

/// Reads a list of shims, each "[count *] outer x thickness" in mm or a map {outer, thickness, count,
/// material}, from the piston face. A shim's own material starts from `strip`.
std::vector<stack::Shim> read_shims(const Node& list, const std::string& path, const plate::Material& strip,
                                    Reader& reader, const ShimRoom& room = {});

/// `list` of shims with `more` of them like its face shim on the piston face, or, where that is below zero,
/// with so many fewer; what is left stays as it is written. Throws std::invalid_argument where nothing
/// would be left.
Node with_face_shims(const Node& list, int more);

/// The same for the shims of the valve at the dotted key `valve` ("valves.base.compression").
Document with_face_shims(const Document& document, const std::string& valve, int more);

/// What can be done to one shim of a stack without another word about the rest.
enum class ShimChange { more, fewer, thicker, thinner, smaller };

/// A list of shims with one of them changed.
struct ShimVariant {
    ShimChange change = ShimChange::more;
    int item = 1;         ///< of the list, from 1 at the piston face
    std::string shims;    ///< the list as written in a file
    std::string was;      ///< one shim of the item, as written: "24 x 0.15"
    std::string becomes;  ///< what it is replaced by; empty for one more or fewer
    bool is_alone = true; ///< no other item is of its size
    std::string behind;   ///< one shim of the item before it, as written; empty on the piston face
};

inline constexpr double thickness_step = 0.05e-3; ///< of strip as it is sold [m], common practice, no source
inline constexpr double thinnest_strip = 0.10e-3; ///< that is cut for valves [m], likewise
inline constexpr double diameter_step = 1e-3;     ///< between sizes [m], likewise

/// For each item of the shims at the dotted key `valve`: one more and one fewer of it, and one of it thicker,
/// thinner or smaller by a step, that one last of its item. Whether a stack can be built so is not judged.
/// None for a valve without shims.
std::vector<ShimVariant> shim_variants(const Document& document, const std::string& valve);

} // namespace valve::setup
