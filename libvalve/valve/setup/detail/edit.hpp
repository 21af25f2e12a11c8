#pragma once

#include <valve/setup/detail/node.hpp>

#include <string>

namespace valve::setup {

/// Puts `change.value` at the dotted key `change.key` below `root`, replacing what is there as a whole; maps
/// on the way are made where missing. A null value removes the key. Throws InputError at the change's place
/// for a key that is not one, leads through a value, or is to be removed and not there.
void apply(Node& root, const Member& change);

/// The change that "KEY=VALUE" asks for, `value` YAML; messages say that it comes from `source`.
Member parsed_change(const std::string& key, const std::string& value, const std::string& source);

} // namespace valve::setup
