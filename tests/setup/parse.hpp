#pragma once

#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <memory>
#include <string>

namespace valve::setup::testing {

/// The tree of a text, as if it stood in test.yaml.
inline Node parse(const std::string& text) {
    return parse_yaml(std::make_shared<const Source>(Source{"test.yaml", text}));
}

} // namespace valve::setup::testing
