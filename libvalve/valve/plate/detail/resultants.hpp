#pragma once

#include <valve/plate/detail/element.hpp>

namespace valve::plate {

/// Stress resultants at a radius: per metre of arc, M positive where it stretches the face towards +w.
struct Resultants {
    double M_r = 0.0; ///< [N]
    double M_t = 0.0; ///< [N]
    double N_r = 0.0; ///< [N/m]
    double N_t = 0.0; ///< [N/m]
};

/// Resultants at both nodes of an element from its nodal forces `force`, which converge faster than the
/// second derivative of w.
/// Source: recovery from nodal forces, zienkiewicz_taylor_2000.
struct ElementResultants {
    Resultants inner;
    Resultants outer;
};
ElementResultants resultants(const Element& element, const Material& material, double thickness,
                             const ElementVector& q, const ElementVector& force);

} // namespace valve::plate
