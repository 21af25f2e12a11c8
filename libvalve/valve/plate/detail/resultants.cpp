#include <valve/plate/detail/resultants.hpp>

#include <numbers>

namespace valve::plate {

ElementResultants resultants(const Element& element, const Material& material, double thickness,
                             const ElementVector& q, const ElementVector& force) {
    constexpr double two_pi = 2.0 * std::numbers::pi;
    const double nu = material.poisson_ratio;
    const double bending = material.youngs_modulus * thickness * thickness * thickness / 12.0; // D (1 − ν²)
    const double membrane = material.youngs_modulus * thickness; // C (1 − ν²)
    auto at = [&](double r, double moment, double radial, double slope, double u) {
        Resultants node;
        node.M_r = moment / (two_pi * r);
        node.M_t = bending * (-slope / r) + nu * node.M_r;
        node.N_r = radial / (two_pi * r);
        node.N_t = membrane * u / r + nu * node.N_r;
        return node;
    };
    return {at(element.inner(), force[1], -force[2], q[1], q[2]),
            at(element.outer(), -force[4], force[5], q[4], q[5])};
}

} // namespace valve::plate
