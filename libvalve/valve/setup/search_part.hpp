#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace valve::setup {

/// What one of several runs of a search has found, as a file that another run reads. Sizes, fittings
/// and settings are numbers into lists that all runs of one question make alike.
struct SearchPartFile {
    struct Candidate {
        std::vector<std::vector<int>> stacks; ///< of each valve the sizes of its shims, from the face
        std::vector<int> fittings;            ///< of each valve, sleeve, coil and turns
        int setting = 0;
        double error = 0.0;
        int changed = 0;
    };

    int part = 1;
    int of = 1;
    std::string question; ///< which it is
    double candidates = 0.0;
    bool exhaustive = false;
    int screened = 0;
    int sampled = 0;
    bool is_interrupted = false;
    bool has_more = false;
    std::vector<Candidate> best;

    /// Reads `path`. Throws InputError as set-ups do.
    static SearchPartFile load(const std::string& path);

    /// Reads `text`, which messages call `name`. Throws as load().
    static SearchPartFile parse(const std::string& text, const std::string& name);

    /// The file's text, which parse() reads back to the same numbers.
    std::string text() const;
};

} // namespace valve::setup
