#include <valve/plate/detail/shape.hpp>
#include <valve/plate/detail/vibration.hpp>
#include <valve/stack/detail/round_test.hpp>
#include <valve/stack/detail/small_motion.hpp>

#include <algorithm>
#include <utility>

namespace valve::stack {
namespace {

bool positive_definite(const plate::BlockTridiagonal& matrix) {
    const std::vector<char> all(static_cast<std::size_t>(matrix.rows()), 1);
    return plate::BlockCholesky(matrix).factor(matrix, all);
}

/// Whether at one point bending with n waves outweighs membrane forces, whatever w and its derivatives are.
/// With a = w/r, b = w' and the best of all w'', twice the energy density times r²/D is
///   (1 − ν²)(n² a − b)² + 2(1 − ν) n² (b − a)² + N_r r²/D b² + N_θ r²/D n² a².
bool outweighs(double n, double nu, double radial, double hoop) {
    const double n2 = n * n;
    const double aa = (1.0 - nu * nu) * n2 * n2 + 2.0 * (1.0 - nu) * n2 + hoop * n2;
    const double bb = (1.0 - nu * nu) + 2.0 * (1.0 - nu) * n2 + radial;
    const double ab = (1.0 - nu * nu) * n2 + 2.0 * (1.0 - nu) * n2;
    return aa > 0.0 && bb > 0.0 && aa * bb > (1.0 + 1e-9) * ab * ab;
}

} // namespace

bool is_stable(const Problem& problem, const State& state, int nodal_diameters) {
    return positive_definite(plate::stiffness(small_motion(problem, &state, nodal_diameters)));
}

std::vector<int> RoundTest::buckles_into(const State& state, const std::vector<int>& waves) {
    const std::vector<Bent> bent = bend(state);
    Motions motions;
    std::vector<int> buckled;
    for (const int n : waves)
        if (!resists(bent, state, motions, n)) buckled.push_back(n);
    return buckled;
}

std::vector<RoundTest::Bent> RoundTest::bend(const State& state) {
    const Problem::Shapes shapes = m_problem.shapes(state.x);
    std::vector<Bent> bent;
    for (std::size_t leaf = 0; leaf < shapes.w.size(); ++leaf) {
        const Shim& shim = m_problem.shim_of(static_cast<int>(leaf));
        const double nu = shim.material.poisson_ratio;
        std::vector<plate::BentElement>& elements = m_elements[nu];
        if (elements.empty())
            for (int k = 0; k + 1 < m_problem.stations(); ++k)
                elements.emplace_back(m_problem.radius(k), m_problem.radius(k + 1), nu);
        const double slack = plate::membrane_stiffness(shim.material, shim.thickness) /
                             plate::bending_stiffness(shim.material, shim.thickness);
        const std::vector<double>& w = shapes.w[leaf];
        const std::vector<double>& slope = shapes.slope[leaf];
        const std::vector<double>& u = shapes.radial[leaf];
        for (std::size_t e = 0; e + 1 < w.size(); ++e) {
            plate::ElementVector q;
            q << w[e], slope[e], u[e], w[e + 1], slope[e + 1], u[e + 1];
            const double inner = m_problem.radius(static_cast<int>(e));
            bent.push_back(
                {elements[e].state(q), inner, m_problem.radius(static_cast<int>(e) + 1) - inner, slack, nu});
        }
    }
    return bent;
}

plate::FourierMesh& RoundTest::mesh(int n) {
    const auto known = m_meshes.find(n);
    if (known != m_meshes.end()) return known->second;
    std::vector<double> nodes;
    for (int k = 0; k < m_problem.stations(); ++k)
        nodes.push_back(m_problem.radius(k));
    return m_meshes.emplace(n, plate::FourierMesh(std::move(nodes), n)).first->second;
}

bool RoundTest::resists(const std::vector<Bent>& bent, const State& state, Motions& motions, int n) {
    const bool everywhere = std::all_of(bent.begin(), bent.end(), [n](const Bent& element) {
        for (std::size_t g = 0; g < plate::gauss8_at.size(); ++g) {
            const auto point = static_cast<Eigen::Index>(g);
            const double r = element.inner + element.size * plate::gauss8_at[g];
            const double weight = element.slack * r * r;
            if (!outweighs(n, element.poisson_ratio, weight * element.state.radial[point],
                           weight * element.state.hoop[point]))
                return false;
        }
        return true;
    });
    if (everywhere) return true;
    // Of two waves and more, none turns or drifts the stack: the unknowns are the same.
    if (!motions.by_w) motions.by_w = small_motion(m_problem, &state, n, OnLand::left_out, InPlane::left_out);
    motions.by_w->nodal_diameters = n;
    if (positive_definite(plate::stiffness_at_least(*motions.by_w, mesh(n)))) return true;
    if (!motions.whole) motions.whole = small_motion(m_problem, &state, n);
    motions.whole->nodal_diameters = n;
    return positive_definite(plate::stiffness(*motions.whole, mesh(n)));
}

} // namespace valve::stack
