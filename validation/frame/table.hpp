#pragma once

#include <frame/recorder.hpp>

#include <nlohmann/json.hpp>

#include <span>
#include <string>

namespace valve::validation {

/// The checks as a table to read, module by module, and how many there are of each kind, by module.
std::string table(std::span<const Recorder> recorders);

/// The same as one JSON object.
nlohmann::ordered_json json(std::span<const Recorder> recorders);

} // namespace valve::validation
