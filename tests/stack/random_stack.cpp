#include <stack/random_stack.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::stack::testing {
namespace {

class Draw {
public:
    explicit Draw(std::mt19937& random) : m_random(random) {}

    /// A multiple of `step` between the limits.
    double grid(double low, double high, double step) {
        const int count = static_cast<int>(std::lround((high - low) / step));
        return low + step * whole(0, std::max(0, count));
    }
    int whole(int low, int high) {
        return low + static_cast<int>(m_random() % static_cast<unsigned>(high - low + 1));
    }
    bool chance(double share) { return whole(0, 9999) < 10000 * share; }

private:
    std::mt19937& m_random;
};

} // namespace

Stack random_stack(std::mt19937& random, int most_shims) {
    Draw draw(random);
    Stack stack;
    const double clamp = draw.grid(6.0, 20.0, 0.5);
    const double outer = draw.grid(clamp + 4.0, std::min(44.0, 4.0 * clamp), 0.1);
    const int count = draw.whole(1, most_shims);
    auto thickness = [&draw] { return draw.grid(0.05, 0.40, 0.05); };

    std::vector<std::pair<double, double>> cuts{{outer, thickness()}};
    const int kind = draw.whole(0, 2);
    if (kind == 2) {
        for (int i = 1; i < count; ++i)
            cuts.emplace_back(draw.grid(clamp - 1.0, 44.0, 0.1), thickness());
    } else {
        const int gap_at = kind == 1 && count > 2 ? draw.whole(1, count - 1) : -1;
        double size = outer;
        for (int i = 1; i < count; ++i) {
            if (i == gap_at) {
                cuts.emplace_back(draw.grid(clamp - 0.5, clamp + 0.5 * (outer - clamp), 0.1),
                                  draw.grid(0.05, 0.3, 0.05));
                size = draw.grid(clamp + 0.5 * (outer - clamp), outer, 0.1);
                continue;
            }
            if (draw.chance(0.6)) size = std::max(clamp + 1.0, size - draw.grid(0.5, 3.0, 0.1));
            cuts.emplace_back(size, thickness());
        }
    }
    for (const auto& [diameter, thick] : cuts)
        stack.shims.push_back({0.5e-3 * diameter, 1e-3 * thick, {}});

    const double seat_outer = std::min(outer, draw.grid(clamp + 0.6 * (outer - clamp), outer, 0.1));
    const double land = draw.chance(0.2) ? 0.0 : std::min(1.0, 0.2 * (seat_outer - clamp));
    const double seat_inner = seat_outer - land;
    stack.clamp_radius = stack.bore_radius = 0.5e-3 * clamp;
    stack.seat = {0.5e-3 * seat_inner, 0.5e-3 * seat_outer,
                  draw.chance(0.5) ? 1e-3 * draw.grid(0.0, 0.15, 0.01) : 0.0};
    stack.zone = {0.5e-3 * (clamp + draw.grid(0.0, 0.5, 0.1) * (seat_inner - clamp)), 0.5e-3 * seat_inner};
    stack.coverage = draw.grid(0.4, 1.0, 0.05);
    if (draw.chance(0.3)) {
        const double ring = stack.clamp_radius;
        stack.floating = Float{.travel = 1e-3 * draw.grid(0.05, 1.5, 0.05),
                               .spring_rate = 1e3 * draw.grid(0.2, 60.0, 0.2),
                               .preload = draw.grid(0.5, 25.0, 0.5),
                               .ring_radius = ring,
                               .spring_radius = ring,
                               .stop_radius = ring,
                               .rests_on = draw.chance(0.5) ? RestsOn::hub : RestsOn::seat};
        stack.edge = draw.chance(0.5) ? InnerEdge::free : InnerEdge::guided;
    }
    return stack;
}

} // namespace valve::stack::testing
