#pragma once

#include <valve/plate/detail/block_cholesky.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/plate/detail/mesh.hpp>
#include <valve/stack/detail/potential.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/spec.hpp>

#include <map>
#include <vector>

namespace valve::stack {

/// The discretised stack: potential energy of all shims under a pressure, as a function of unknowns that are
/// bounded one by one.
///
/// Neighbours of one size and material are one leaf, n times as stiff. That is no approximation: the n of
/// them on one another carry 1/n of every load each and so bend alike, and between the i-th and the next is
/// (n − i)/n of what pushes on the leaf from below and i/n of what pushes from above, so that nothing pulls.
///
/// Stations are the nodes of one mesh for all leaves. At a station, of the leaves that reach it, the unknowns
/// are
///   opening 0: w of the lowest leaf (under the stop's ring: of the last leaf);
///   opening 1 …: how much wider the clear distance to the neighbour *at this radius* is than at rest;
///   w' of each leaf, and u of each leaf where membranes count.
/// Contact bounds one unknown each: a leaf meets the seat at w = height, its neighbour where the opening has
/// used up the clear distance at rest, the stop at w = travel. Contact forces are the derivatives of the
/// energy by the openings. The state of the stack is the minimum of the energy within the bounds. Openings
/// are counted from rest, not from touch, so that their rounding is that of the deflection, not of the
/// stack's height.
class Problem final : public Potential {
public:
    /// Throws std::invalid_argument where check(stack) finds an error, or for a stack with a disc.
    Problem(const Stack& stack, Theory theory, const plate::Grading& grading);

    Theory theory() const override { return m_theory; }
    const Stack& stack() const { return m_stack; } ///< zone and seat moved to the mesh's nodes
    int size() const override { return m_offsets.back(); }
    int stations() const { return static_cast<int>(m_nodes.size()); }
    double radius(int station) const { return m_nodes[static_cast<std::size_t>(station)]; }

    const Eigen::VectorXd& lower() const override { return m_lower; }
    const Eigen::VectorXd& upper() const override { return m_upper; }
    double energy(const Eigen::VectorXd& x, double pressure) const override;
    void differentiate(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& gradient) const override;
    const Eigen::VectorXd& load() const { return m_load; } ///< the same everywhere
    const Eigen::VectorXd& load(const Eigen::VectorXd& /*x*/) const override { return m_load; }
    void assemble(const Eigen::VectorXd& x, double pressure, double squeeze, Eigen::VectorXd& gradient,
                  plate::BlockTridiagonal& tangent) const override; ///< squeeze: see plate::Element
    plate::BlockTridiagonal make_tangent() const override;
    double force_scale(double pressure) const override;
    double largest_deflection(const Eigen::VectorXd& x) const override;
    double seat_height() const override { return m_stack.seat.height; }

    /// Work-equivalent forces of the load on (w1, w1', w2, w2') of the face shim's element `e`, per unit of
    /// pressure [m², m³].
    const Eigen::Vector4d& unit_load(int e) const { return m_unit_load[static_cast<std::size_t>(e)]; }

    /// Load per unit of pressure, A_load [m²].
    double load_area() const { return m_load_area; }

    /// Smallest thickness of the bending shims [m].
    double thinnest() const override { return m_thinnest; }

    // Where things are. Leaves are of shims that bend, counted from 0; shims by their numbers in the list,
    // from 1.

    int leaves() const { return static_cast<int>(m_leaves.size()); }
    int first_shim(int leaf) const { return m_leaves[static_cast<std::size_t>(leaf)].first_shim; }
    int last_shim(int leaf) const { return m_leaves[static_cast<std::size_t>(leaf)].last_shim; }
    int shims_in(int leaf) const { return last_shim(leaf) - first_shim(leaf) + 1; }
    const Shim& shim_of(int leaf) const; ///< what the leaf is made of

    /// The station of a leaf's outer edge.
    int last_station(int leaf) const { return m_leaves[static_cast<std::size_t>(leaf)].last_station; }

    /// Whether opening 0 of a station is w of the last leaf there.
    bool counts_from_top(int station) const { return m_stations[static_cast<std::size_t>(station)].from_top; }

    /// Leaves that reach a station, lowest first.
    const std::vector<int>& present(int station) const {
        return m_stations[static_cast<std::size_t>(station)].leaves;
    }

    /// Index of opening `place` at a station.
    int opening(int station, int place) const { return m_offsets[static_cast<std::size_t>(station)] + place; }

    bool on_land(int station) const { return m_stations[static_cast<std::size_t>(station)].land; }
    int seat_station() const { return m_seat_station; }     ///< at the seat's inner radius
    int ring_station() const { return m_ring_station; }     ///< clamp, or ring that floats
    int stop_station() const { return m_stop_station; }     ///< −1: none
    int spring_station() const { return m_spring_station; } ///< −1: none

    /// Rate of the spring that closes a floated stack [N/m].
    double closing_rate() const { return m_closing_rate; }

    /// What a float's spring pushes on the last leaf with where that has lifted by `w` [m], in [N].
    double spring_force(double w) const { return m_stack.floating->preload + m_closing_rate * w; }

    /// Deflection of every leaf at every station it reaches [m], slopes [-], radial displacements [m].
    struct Shapes {
        std::vector<std::vector<double>> w; ///< [leaf][station], up to the leaf's edge
        std::vector<std::vector<double>> slope;
        std::vector<std::vector<double>> radial;
    };
    Shapes shapes(const Eigen::VectorXd& x) const;

    /// Largest von Mises stress of each leaf, in its first shim, on either face at any node.
    std::vector<StressPeak> peak_stresses(const Eigen::VectorXd& x, double pressure) const;

private:
    struct Leaf {
        int first_shim = 0;
        int last_shim = 0;
        int last_station = 0;
        double D = 0.0;                                        ///< of all its shims together
        double C = 0.0;                                        ///< the same; zero in linear theory
        const std::vector<plate::Element>* elements = nullptr; ///< for its Poisson's ratio
        std::vector<int> w;                                    ///< index of its w at each station it reaches
    };
    struct Station {
        std::vector<int> leaves; ///< present, lowest first
        bool land = false;
        bool from_top = false; ///< opening 0 is w of the last leaf
    };

    void lay_mesh(const plate::Grading& grading);
    void lay_leaves();
    void lay_stations();
    void set_bounds();
    void lay_load();
    std::size_t count_at(int station) const {
        return m_stations[static_cast<std::size_t>(station)].leaves.size();
    }
    int unknowns_per_leaf() const { return m_theory == Theory::linear ? 2 : 3; }

    /// Unknowns with w in place of the openings, and the transposed map of forces: of all, and of the rows of
    /// one station.
    void to_deflections(const Eigen::VectorXd& x, Eigen::VectorXd& y) const;
    void to_opening_forces(Eigen::VectorXd& forces) const;
    template <class Rows>
    void to_opening_rows(int station, Rows&& rows) const;

    /// Clear distance at rest between the leaf at `place` of a station and the one below: the shims and
    /// spacers missing between them [m].
    double clear_at_rest(int station, int place) const;

    int spring_index() const; ///< of the w that the spring pushes on, among the deflections

    plate::ElementVector gather(const Eigen::VectorXd& y, const Leaf& leaf, int element) const;

    Stack m_stack;
    Theory m_theory;
    std::vector<Leaf> m_leaves;
    std::vector<double> m_nodes;
    std::map<double, std::vector<plate::Element>> m_elements; ///< by Poisson's ratio
    std::vector<Station> m_stations;
    std::vector<int> m_offsets; ///< one more than stations
    Eigen::VectorXd m_lower;
    Eigen::VectorXd m_upper;
    std::vector<Eigen::Vector4d> m_unit_load; ///< of each element on the face shim per unit of pressure
    Eigen::VectorXd m_load;
    double m_load_area = 0.0;
    double m_closing_rate = 0.0; ///< of a floated stack's spring [N/m]
    double m_thinnest = 0.0;
    int m_seat_station = 0;
    int m_ring_station = 0;
    int m_spring_station = -1;
    int m_stop_station = -1;
    mutable Eigen::VectorXd m_deflections; ///< scratch
};

} // namespace valve::stack
