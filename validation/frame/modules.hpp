#pragma once

#include <frame/recorder.hpp>

#include <string>
#include <vector>

namespace valve::validation {

/// A module of the library and the function that records its checks.
struct Module {
    std::string name;
    void (*checks)(Recorder&);
};

/// Every module that has a folder under validation/.
std::vector<Module> modules();

} // namespace valve::validation
