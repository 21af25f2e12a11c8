#pragma once

#include <valve/report/json.hpp>
#include <valve/setup/parameter.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// The keys that `words` asks for: the key of that name with those below it, of any valve
/// ("base.refill.float"), or else every key whose name and line of words hold each word of `words`,
/// capitals aside; all where `words` is empty.
std::vector<setup::Parameter> matching_keys(std::string_view words);

Json json(const std::vector<setup::Parameter>& keys);

/// Two lines a key: what it takes, and what it is.
std::string text(const std::vector<setup::Parameter>& keys);

} // namespace valve::report
