#include <valve/core/detail/index.hpp>
#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/shape.hpp>
#include <valve/stack/detail/inertia.hpp>

#include <cstddef>
#include <utility>

namespace valve::stack {

Inertia::Inertia(const Problem& problem, int waves, int harmonics) : m_problem(problem), m_waves(waves) {
    for (int k = 0; k <= harmonics; ++k)
        m_oil.emplace_back(problem.radius(problem.stations() - 1), k * waves, plate::Surround::open);
    for (int e = 0; e + 1 < problem.stations(); ++e) {
        const double inner = problem.radius(e);
        const double size = problem.radius(e + 1) - inner;
        for (std::size_t g = 0; g < plate::gauss8_at.size(); ++g) {
            const double r = inner + size * plate::gauss8_at[g];
            const double area = r * size * plate::gauss8_weight[g];
            Point point{area, plate::hermite(plate::gauss8_at[g], size), {}};
            for (const plate::AddedMass& harmonic : m_oil)
                point.oil.emplace_back(area * harmonic.shapes(r));
            m_points.push_back(std::move(point));
        }
    }
}

template <class Use>
void Inertia::for_each_point(const Problem::Shapes& shapes, int leaf, const Use& use) const {
    const std::vector<double>& w = shapes.w[at(leaf)];
    const std::vector<double>& slope = shapes.slope[at(leaf)];
    for (std::size_t e = 0; e + 1 < w.size(); ++e)
        for (std::size_t g = 0; g < plate::gauss8_at.size(); ++g) {
            const Point& point = m_points[e * plate::gauss8_at.size() + g];
            use(point, point.shape.dot(Eigen::Vector4d(w[e], slope[e], w[e + 1], slope[e + 1])));
        }
}

Inertia::Sums Inertia::of(const Problem::Shapes& shapes, int k) const {
    Sums sums;
    for (int leaf = 0; leaf < m_problem.leaves(); ++leaf) {
        const Shim& shim = m_problem.shim_of(leaf);
        double square = 0.0;
        for_each_point(shapes, leaf, [&](const Point& point, double w) { square += point.area * w * w; });
        sums.metal += m_problem.shims_in(leaf) * shim.material.density * shim.thickness *
                      plate::angular_integral(k * m_waves) * square;
    }
    sums.oil = oil(shapes, k);
    return sums;
}

/// Each face moves half of it, the lowest leaf at a radius the one, the topmost the other.
double Inertia::oil(const Problem::Shapes& shapes, int k) const {
    const plate::AddedMass& harmonic = m_oil[at(k)];
    Eigen::VectorXd sum = Eigen::VectorXd::Zero(harmonic.weights().size());
    const auto add = [&](int leaf, std::size_t from) { // its half, beyond the element `from`
        const Point* begin = m_points.data() + from * plate::gauss8_at.size();
        for_each_point(shapes, leaf, [&](const Point& point, double w) {
            if (&point >= begin) sum += 0.5 * w * point.oil[at(k)];
        });
    };
    std::size_t covered = 0; // elements whose lowest leaf is found
    for (int leaf = 0; leaf < m_problem.leaves(); ++leaf)
        if (shapes.w[at(leaf)].size() > covered + 1) {
            add(leaf, covered);
            covered = shapes.w[at(leaf)].size() - 1;
        }
    covered = 0;
    for (int leaf = m_problem.leaves(); leaf-- > 0;)
        if (shapes.w[at(leaf)].size() > covered + 1) {
            add(leaf, covered);
            covered = shapes.w[at(leaf)].size() - 1;
        }
    return sum.cwiseAbs2().dot(harmonic.weights());
}

} // namespace valve::stack
