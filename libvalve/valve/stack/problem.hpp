#pragma once

#include <valve/plate/block_cholesky.hpp>
#include <valve/plate/element.hpp>
#include <valve/plate/mesh.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/spec.hpp>

#include <map>
#include <vector>

namespace valve::stack {

/// The discretised stack: potential energy of all shims under a pressure, as a function of unknowns that are
/// bounded one by one.
///
/// Stations are the nodes of one mesh for all shims. At a station, of the shims that reach it, the unknowns
/// are
///   opening 0: w of the lowest shim (under the stop's ring: of the last shim);
///   opening 1 …: how much wider the clear distance to the neighbour *at this radius* is than at rest;
///   w' of each shim, and u of each shim where membranes count.
/// Contact bounds one unknown each: a shim meets the seat at w = height, its neighbour where the opening has
/// used up the clear distance at rest, the stop at w = travel. Contact forces are the derivatives of the
/// energy by the openings. The state of the stack is the minimum of the energy within the bounds. Openings
/// are counted from rest, not from touch, so that their rounding is that of the deflection, not of the
/// stack's height.
class Problem {
public:
    /// Throws std::invalid_argument where check(stack) finds an error, or for a stack with a disc.
    Problem(const Stack& stack, Theory theory, const plate::Grading& grading);

    Theory theory() const { return m_theory; }
    const Stack& stack() const { return m_stack; } ///< zone and seat moved to the mesh's nodes
    int size() const { return m_offsets.back(); }
    int stations() const { return static_cast<int>(m_nodes.size()); }
    double radius(int station) const { return m_nodes[static_cast<std::size_t>(station)]; }

    /// Bounds of the unknowns; equal where an unknown is held.
    const Eigen::VectorXd& lower() const { return m_lower; }
    const Eigen::VectorXd& upper() const { return m_upper; }

    /// Energy [J] under the pressure [Pa]: bending, membrane, spring, less the work of the pressure.
    double energy(const Eigen::VectorXd& x, double pressure) const;

    /// Its gradient.
    void differentiate(const Eigen::VectorXd& x, double pressure, Eigen::VectorXd& gradient) const;

    /// What one unit of pressure takes off the gradient [m², m³].
    const Eigen::VectorXd& load() const { return m_load; }

    /// Its gradient and tangent. With `convex` the tangent is positive semi-definite (see plate::Element).
    void assemble(const Eigen::VectorXd& x, double pressure, bool convex, Eigen::VectorXd& gradient,
                  plate::BlockTridiagonal& tangent) const;

    /// A matrix of the tangent's pattern.
    plate::BlockTridiagonal make_tangent() const;

    /// Work-equivalent forces of the load on (w1, w1', w2, w2') of the face shim's element `e`, per unit of
    /// pressure [m², m³].
    const Eigen::Vector4d& unit_load(int e) const { return m_unit_load[static_cast<std::size_t>(e)]; }

    /// Load per unit of pressure, A_load [m²].
    double load_area() const { return m_load_area; }

    /// Smallest thickness of the bending shims [m].
    double thinnest() const { return m_thinnest; }

    // Where things are. Shims are those that bend, counted from 0; `number` maps them to the list's from 1.

    int shims() const { return static_cast<int>(m_shims.size()); }
    int number(int shim) const { return m_shims[static_cast<std::size_t>(shim)].number; }
    double outer_radius(int shim) const;

    /// Shims that reach a station, lowest first.
    const std::vector<int>& present(int station) const {
        return m_stations[static_cast<std::size_t>(station)].shims;
    }

    /// Index of opening `place` at a station.
    int opening(int station, int place) const { return m_offsets[static_cast<std::size_t>(station)] + place; }

    bool on_land(int station) const { return m_stations[static_cast<std::size_t>(station)].land; }
    int seat_station() const { return m_seat_station; } ///< at the seat's inner radius
    int ring_station() const { return m_ring_station; } ///< clamp, or ring that floats
    int stop_station() const { return m_stop_station; } ///< −1: none

    /// Deflection of every shim at every station it reaches [m], slopes [-], radial displacements [m].
    struct Shapes {
        std::vector<std::vector<double>> w; ///< [shim][station], up to the shim's edge
        std::vector<std::vector<double>> slope;
        std::vector<std::vector<double>> radial;
    };
    Shapes shapes(const Eigen::VectorXd& x) const;

    /// Largest von Mises stress of each shim, on either face at any node.
    std::vector<StressPeak> peak_stresses(const Eigen::VectorXd& x, double pressure) const;

private:
    struct BendingShim {
        int number = 0; ///< in the stack's list, from 1
        int last_station = 0;
        double thickness = 0.0;
        double D = 0.0;
        double C = 0.0; ///< zero in linear theory
        plate::Material material;
        const std::vector<plate::Element>* elements = nullptr; ///< for its Poisson's ratio
    };
    struct Station {
        std::vector<int> shims; ///< present, lowest first
        bool land = false;
        bool from_top = false; ///< opening 0 is w of the last shim
    };

    void lay_mesh(const plate::Grading& grading);
    void lay_stations();
    void set_bounds();
    void lay_load();
    int place_of(int station, int shim) const;
    std::size_t count_at(int station) const {
        return m_stations[static_cast<std::size_t>(station)].shims.size();
    }
    int unknowns_per_shim() const { return m_theory == Theory::linear ? 2 : 3; }

    /// Unknowns with w in place of the openings, and the transposed map of forces: of all, and of the rows of
    /// one station.
    void to_deflections(const Eigen::VectorXd& x, Eigen::VectorXd& y) const;
    void to_opening_forces(Eigen::VectorXd& forces) const;
    template <class Rows>
    void to_opening_rows(int station, Rows&& rows) const;

    /// Clear distance at rest between the shim at `place` of a station and the one below: the shims and
    /// spacers missing between them [m].
    double clear_at_rest(int station, int place) const;

    int spring_index() const; ///< of the w that the spring pushes on, among the deflections

    plate::ElementVector gather(const Eigen::VectorXd& y, int shim, int element) const;

    Stack m_stack;
    Theory m_theory;
    std::vector<BendingShim> m_shims;
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
