#include <valve/plate/detail/eigenvalues.hpp>
#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/shape.hpp>
#include <valve/plate/detail/vibration.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::plate {
namespace {

using Triplets = std::vector<Eigen::Triplet<double>>;
using ElementUnknowns = std::array<int, 8>; ///< w, w', u, v at the inner and the outer node

constexpr std::array<std::size_t, 4> deflections{0, 1, 4, 5}; // of the element's unknowns

ElementUnknowns unknowns_of(const VibratingPlate& plate, std::size_t element) {
    ElementUnknowns unknowns;
    for (std::size_t i = 0; i < 4; ++i) {
        unknowns[i] = plate.unknowns[element][i];
        unknowns[i + 4] = plate.unknowns[element + 1][i];
    }
    return unknowns;
}

ElementVector bent_element(const VibratingPlate& plate, std::size_t element) {
    ElementVector q;
    for (std::size_t i = 0; i < 3; ++i) {
        q[static_cast<Eigen::Index>(i)] = plate.bent[element][i];
        q[static_cast<Eigen::Index>(i + 3)] = plate.bent[element + 1][i];
    }
    return q;
}

/// Calls `add(row, column, value)` for the parts of an element's matrix, but for rows and columns held.
template <class Unknowns, class Matrix, class Add>
void each_part(const Unknowns& unknowns, const Matrix& matrix, const Add& add) {
    for (std::size_t i = 0; i < unknowns.size(); ++i)
        for (std::size_t j = 0; j < unknowns.size(); ++j)
            if (unknowns[i] >= 0 && unknowns[j] >= 0)
                add(unknowns[i], unknowns[j],
                    matrix(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)));
}

/// The rows of an element that belong to w and w'.
std::array<int, 4> deflections_of(const ElementUnknowns& unknowns) {
    std::array<int, 4> rows{};
    for (std::size_t i = 0; i < rows.size(); ++i)
        rows[i] = unknowns[deflections[i]];
    return rows;
}

/// Which stiffness of a bent plate: all of it, or that of its w alone, which is no more.
enum class Part { all, at_least };

/// Calls `add_element(element, unknowns, matrix)` for each element's stiffness, the unknowns those of its
/// inner node and as many of its outer one.
template <class AddElement>
void add_plates(const Vibration& vibration, FourierMesh& mesh, Part part, const AddElement& add_element) {
    for (const VibratingPlate& plate : vibration.plates) {
        const double nu = plate.material.poisson_ratio;
        const double D = plate.count * bending_stiffness(plate.material, plate.thickness);
        const double C = plate.count * membrane_stiffness(plate.material, plate.thickness);
        for (std::size_t e = 0; e + 1 < plate.unknowns.size(); ++e) {
            const ElementUnknowns unknowns = unknowns_of(plate, e);
            if (!plate.bent.empty() && part == Part::all) {
                const BentFourierElement& element = mesh.bent_elements(nu)[e];
                add_element(e, unknowns, element.tangent(D, C, element.bent(bent_element(plate, e))));
                continue;
            }
            const FourierElement& element = mesh.elements(nu)[e];
            const Eigen::Matrix4d stiffness =
                plate.bent.empty() ? Eigen::Matrix4d(D * element.bending())
                                   : element.tangent_at_least(D, C, element.bent(bent_element(plate, e)));
            add_element(e, deflections_of(unknowns), stiffness);
        }
    }
}

/// Calls `add(unknown, stiffness)` for each spring that is not held.
template <class Add>
void add_springs(const Vibration& vibration, const Add& add) {
    const double share = angular_integral(vibration.nodal_diameters) / angular_integral(0);
    for (const RingSpring& spring : vibration.springs)
        if (spring.unknown >= 0) add(spring.unknown, share * spring.rate);
}

template <class Add>
void add_mass(const Vibration& vibration, FourierMesh& mesh, const Add& add) {
    for (const VibratingPlate& plate : vibration.plates) {
        const std::vector<FourierElement>& elements = mesh.elements(plate.material.poisson_ratio);
        for (std::size_t e = 0; e + 1 < plate.unknowns.size(); ++e) {
            const Eigen::Matrix4d mass =
                plate.count * plate.material.density * plate.thickness * elements[e].mass();
            each_part(deflections_of(unknowns_of(plate, e)), mass, add);
        }
    }
}

/// The oil's mass matrix is Σ_j weight_j g_j g_jᵀ, g_j the integral of ψ_j over the mean of both faces.
void add_oil(const Vibration& vibration, Triplets& mass) {
    const AddedMass oil(vibration.nodes.back(), vibration.nodal_diameters, vibration.surround);
    Eigen::MatrixXd g = Eigen::MatrixXd::Zero(vibration.unknowns, oil.weights().size());
    for (std::size_t e = 0; e + 1 < vibration.nodes.size(); ++e) {
        const auto reaches = [e](const VibratingPlate& plate) { return plate.unknowns.size() > e + 1; };
        const auto lowest = std::find_if(vibration.plates.begin(), vibration.plates.end(), reaches);
        const auto topmost = std::find_if(vibration.plates.rbegin(), vibration.plates.rend(), reaches);
        if (lowest == vibration.plates.end()) continue;
        const double h = vibration.nodes[e + 1] - vibration.nodes[e];
        for (std::size_t p = 0; p < gauss8_at.size(); ++p) {
            const double r = vibration.nodes[e] + h * gauss8_at[p];
            const Eigen::Vector4d w = hermite(gauss8_at[p], h);
            const Eigen::RowVectorXd psi = (r * h * gauss8_weight[p] * oil.shapes(r)).transpose();
            for (const VibratingPlate* face : {&*lowest, &*topmost}) {
                const ElementUnknowns unknowns = unknowns_of(*face, e);
                for (std::size_t i = 0; i < 4; ++i)
                    if (const int row = unknowns[deflections[i]]; row >= 0)
                        g.row(row) += 0.5 * w[static_cast<Eigen::Index>(i)] * psi;
            }
        }
    }
    std::vector<int> wetted;
    for (int i = 0; i < vibration.unknowns; ++i)
        if (!g.row(i).isZero(0.0)) wetted.push_back(i);
    const Eigen::MatrixXd weighted = vibration.oil_density * g * oil.weights().asDiagonal();
    for (const int i : wetted)
        for (const int j : wetted)
            mass.emplace_back(i, j, weighted.row(i).dot(g.row(j)));
}

Eigen::SparseMatrix<double> assembled(int size, const Triplets& triplets) {
    Eigen::SparseMatrix<double> matrix(size, size);
    matrix.setFromTriplets(triplets.begin(), triplets.end());
    return matrix;
}

void check(const Vibration& vibration) {
    for (const VibratingPlate& plate : vibration.plates) {
        if (plate.unknowns.size() < 2 || plate.unknowns.size() > vibration.nodes.size() ||
            (!plate.bent.empty() && plate.bent.size() != plate.unknowns.size()))
            throw std::invalid_argument("Vibration: a plate and the mesh do not fit");
        for (const VibratingPlate::NodeUnknowns& node : plate.unknowns)
            for (const int unknown : node)
                if (unknown < -1 || unknown >= vibration.unknowns)
                    throw std::invalid_argument("Vibration: there is no such unknown");
    }
    for (const RingSpring& spring : vibration.springs)
        if (spring.unknown < -1 || spring.unknown >= vibration.unknowns)
            throw std::invalid_argument("Vibration: a spring stands on no unknown");
    if (vibration.plates.empty()) throw std::invalid_argument("Vibration: no plate");
}

/// How many unknowns each node has.
std::vector<int> unknowns_by_node(const Vibration& vibration) {
    std::vector<int> sizes;
    int known = 0;
    for (std::size_t k = 0; k < vibration.nodes.size(); ++k) {
        int end = known;
        for (const VibratingPlate& plate : vibration.plates) {
            if (k >= plate.unknowns.size()) continue;
            for (const int unknown : plate.unknowns[k]) {
                if (unknown >= 0 && unknown < known)
                    throw std::invalid_argument("Vibration: unknowns do not rise from node to node");
                end = std::max(end, unknown + 1);
            }
        }
        sizes.push_back(end - known);
        known = end;
    }
    if (known != vibration.unknowns) throw std::invalid_argument("Vibration: unknowns that no node has");
    return sizes;
}

/// A little below zero, on the scale of the plates' own ω².
double shift_below(const Vibration& vibration) {
    constexpr double below = 0.1; // of D/(ρ t a⁴); the lowest bending of a plate is at 5 or more
    double stiffness = 0.0;
    double mass = 0.0;
    for (const VibratingPlate& plate : vibration.plates) {
        stiffness += plate.count * bending_stiffness(plate.material, plate.thickness);
        mass += plate.count * plate.material.density * plate.thickness;
    }
    return -below * stiffness / (mass * std::pow(vibration.nodes.back(), 4));
}

/// The stiffness, one block a node.
BlockTridiagonal by_node(const Vibration& vibration, FourierMesh& mesh, Part part) {
    check(vibration);
    if (mesh.nodes() != vibration.nodes || mesh.nodal_diameters() != vibration.nodal_diameters)
        throw std::invalid_argument("Vibration: the elements are those of another mesh");
    BlockTridiagonal matrix(unknowns_by_node(vibration));
    add_plates(vibration, mesh, part, [&](std::size_t e, const auto& unknowns, const auto& stiffness) {
        const int k = static_cast<int>(e);
        Eigen::MatrixXd& inner = matrix.diagonal(k);
        Eigen::MatrixXd& outer = matrix.diagonal(k + 1);
        Eigen::MatrixXd& across = matrix.upper(k);
        const std::size_t half = unknowns.size() / 2; // those of the inner node
        std::array<Eigen::Index, 8> row{};
        for (std::size_t i = 0; i < unknowns.size(); ++i)
            row[i] = unknowns[i] - matrix.offset(i < half ? k : k + 1);
        for (std::size_t j = 0; j < unknowns.size(); ++j) {
            if (unknowns[j] < 0) continue;
            for (std::size_t i = 0; i < unknowns.size(); ++i) {
                if (unknowns[i] < 0) continue;
                const double value = stiffness(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
                if (i >= half && j >= half)
                    outer(row[i], row[j]) += value;
                else if (i < half && j < half)
                    inner(row[i], row[j]) += value;
                else if (i < half) // the other triangle is not kept
                    across(row[i], row[j]) += value;
            }
        }
    });
    add_springs(vibration, [&](int unknown, double value) {
        int k = 0;
        while (unknown >= matrix.offset(k) + matrix.size(k))
            ++k;
        const int row = unknown - matrix.offset(k);
        matrix.diagonal(k)(row, row) += value;
    });
    return matrix;
}

} // namespace

std::vector<double> lowest_squares(const Vibration& vibration, int count) {
    check(vibration);
    Triplets stiffness;
    Triplets mass;
    const auto into = [](Triplets& triplets) {
        return [&triplets](int row, int column, double value) { triplets.emplace_back(row, column, value); };
    };
    FourierMesh mesh(vibration.nodes, vibration.nodal_diameters);
    add_plates(vibration, mesh, Part::all, [&](std::size_t, const auto& unknowns, const auto& matrix) {
        each_part(unknowns, matrix, into(stiffness));
    });
    add_springs(vibration,
                [&](int unknown, double value) { stiffness.emplace_back(unknown, unknown, value); });
    add_mass(vibration, mesh, into(mass));
    if (vibration.oil_density > 0.0) add_oil(vibration, mass);

    const Eigenpairs pairs =
        lowest_eigenpairs(assembled(vibration.unknowns, stiffness), assembled(vibration.unknowns, mass),
                          std::min(count, vibration.unknowns - 1), shift_below(vibration));
    return {pairs.values.begin(), pairs.values.end()};
}

BlockTridiagonal stiffness(const Vibration& vibration) {
    FourierMesh mesh(vibration.nodes, vibration.nodal_diameters);
    return stiffness(vibration, mesh);
}

BlockTridiagonal stiffness(const Vibration& vibration, FourierMesh& mesh) {
    return by_node(vibration, mesh, Part::all);
}

BlockTridiagonal stiffness_at_least(const Vibration& vibration, FourierMesh& mesh) {
    return by_node(vibration, mesh, Part::at_least);
}

} // namespace valve::plate
