#pragma once

#include <optional>
#include <string>
#include <vector>

namespace valve::setup {

/// Shims of one size.
struct ShimSize {
    double outer_radius = 0.0; ///< [m]
    double thickness = 0.0;    ///< [m]
    int count = 1;             ///< how many there are

    bool same_size(const ShimSize& other) const {
        return outer_radius == other.outer_radius && thickness == other.thickness;
    }
    bool operator==(const ShimSize&) const = default;
};

/// A drawer file: what lies at hand.
struct Drawer {
    std::string path;
    std::string title;                           ///< the file's name where none is given
    std::vector<ShimSize> shims;                 ///< each size once, in the order of the file
    std::vector<double> sleeves;                 ///< lengths, rising, one of each [m]
    std::vector<double> springs;                 ///< rates of main springs, rising [N/m]
    std::vector<double> coils;                   ///< rates of coils of floats, rising, one of each [N/m]
    std::optional<double> height = std::nullopt; ///< most that a stack may be high [m]

    /// Reads `path`. Throws InputError for what a set-up file is refused for, for a key that is not known,
    /// for a shim with a material of its own, and for a drawer with nothing in it.
    static Drawer load(const std::string& path);

    /// Reads `text`, which messages call `name`. Throws as load().
    static Drawer parse(const std::string& text, const std::string& name);
};

} // namespace valve::setup
