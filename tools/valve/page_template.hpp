#pragma once

#include <string_view>

namespace program {

/// The page without its data, as tools/web builds it: @@TITLE@@ and @@DATA@@ stand where title and data go,
/// once each. Empty in a program that was built without Node.
extern const std::string_view page_template;

} // namespace program
