#pragma once

#include <valve/damper/spec.hpp>
#include <valve/setup/keys.hpp>

#include <functional>
#include <optional>
#include <string>

namespace valve::setup {

/// What a file with a whole unit fills, with the keys of its top level.
struct UnitText {
    damper::SetUp setup;
    std::string note;
    std::string result;
};

/// What a file with one valve alone fills.
struct LoneValveText {
    std::string title;
    std::optional<flow::Oil> oil;
    flow::Valve valve;
    std::string note;
    std::string result;
};

/// The keys of the top level, bound to `text`.
Keys unit_keys(UnitText& text);
Keys lone_valve_keys(LoneValveText& text);

/// Reads the valve at the dotted key `path`. `needs_ports` is false for a valve alone, which may be plates
/// only: then ports.count is 0.
flow::Valve read_valve(const Node& node, const std::string& path, Reader& reader, bool needs_ports);

/// Makes the keys of a valve that is only there for the reference.
std::function<Keys()> valve_reference_keys();

} // namespace valve::setup
