#pragma once

#include <valve/motion/event.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <vector>

namespace valve::setup {

/// A file with one event of a ride, understood.
struct EventFile {
    std::string path;
    motion::Event event; ///< its title that of the file, or the file's name
    std::vector<DefaultUsed> defaults;
    std::vector<std::string> warnings; ///< whole messages, with place
    std::string profile = {};          ///< the file of heights that it names; empty: none

    /// Reads `path`, and the profile beside it that it may name. Throws InputError for what
    /// Document::load() refuses in a file, for unknown keys and for what cannot be run on a wheel of the
    /// usual radius.
    static EventFile load(const std::string& path);

    /// Reads `text`, which messages call `name`. Throws as load().
    static EventFile parse(const std::string& text, const std::string& name);
};

} // namespace valve::setup
