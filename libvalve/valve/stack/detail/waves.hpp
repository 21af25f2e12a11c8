#pragma once

#include <valve/stack/detail/path.hpp>
#include <valve/stack/waves.hpp>

#include <cstddef>
#include <optional>
#include <vector>

namespace valve::stack {

/// Looks for the lowest pressure along a curve from which 2 to 5 waves round the ring buckle out of the round
/// shape, no further than it is asked, and remembers how far it has looked. Looked for at the curve's
/// landmarks, then located to 1e-3. Linear plates never buckle.
class WaveSearch {
public:
    /// `path` is the one that gave `curve`, and must outlive this.
    WaveSearch(Path& path, const LiftCurve& curve) : m_path(path), m_landmarks(landmarks(curve)) {}

    /// None where the shape stays round up to `pressure` [Pa], or the curve's end.
    std::optional<Waves> up_to(double pressure);

    /// Landmarks looked at so far.
    std::size_t looked_at() const { return m_next; }

private:
    Path& m_path;
    std::vector<double> m_landmarks;
    std::size_t m_next = 0; ///< landmark
    std::optional<Waves> m_found;
};

} // namespace valve::stack
