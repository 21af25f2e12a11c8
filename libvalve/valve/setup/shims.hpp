#pragma once

#include <valve/setup/keys.hpp>
#include <valve/stack/spec.hpp>

#include <string>
#include <vector>

namespace valve::setup {

Keys material_keys(plate::Material& material);

/// Reads a list of shims, each "[count *] outer x thickness" in mm or a map {outer, thickness, count,
/// material}, from the piston face. A shim's own material starts from `strip`.
std::vector<stack::Shim> read_shims(const Node& list, const std::string& path, const plate::Material& strip,
                                    Reader& reader);

} // namespace valve::setup
