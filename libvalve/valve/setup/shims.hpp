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

} // namespace valve::setup
