#pragma once

#include <valve/damper/spec.hpp>
#include <valve/motion/vehicle.hpp>
#include <valve/setup/document.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::setup {

/// A value the file did not give.
struct DefaultUsed {
    std::string key;   ///< dotted, as it would stand in the file
    std::string value; ///< with unit, as it could be written in the file
};

/// A set-up file, understood.
struct Reading {
    std::optional<Document>
        written; ///< what was read, for edits by key; none where it was put together otherwise
    std::string title;
    std::optional<damper::SetUp> unit;      ///< a whole damper, or
    std::optional<motion::Vehicle> vehicle; ///< beside a unit, where the file gives one
    std::optional<flow::Valve> valve; ///< one valve alone (top-level `valve:`); ports.count 0: none are given
    std::optional<flow::Oil> oil;     ///< beside a valve alone, where the file gives one
    std::vector<DefaultUsed> defaults;
    std::vector<std::string> warnings; ///< whole messages, with place
    std::string note;                  ///< free text that stays with a variant
    std::string result;
};

/// Reads every key of `document`. Throws InputError at the first fault.
Reading read(const Document& document);

} // namespace valve::setup
