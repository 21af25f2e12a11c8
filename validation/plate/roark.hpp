#pragma once

namespace valve::validation {

/// Cases of Roark's Table 11.2 that a shim meets, by their numbers: inner edge fixed (l) or simply supported
/// (k) with the outer edge free; outer edge simply supported with the inner fixed (2d). Case 1 is a ring load
/// at r_o, case 2 a uniform pressure from r_o to the rim.
enum class RoarkCase { k1, l1, d2, k2, l2 };

/// Coefficients for a = D = w = q = 1, with deflection and load positive in the same direction.
struct RoarkCoefficients {
    long double tip = 0.0L;          ///< K_ya (case 2d: 0)
    long double rim_slope = 0.0L;    ///< K_θa
    long double inner_moment = 0.0L; ///< −K_Mrb: positive where the loaded face is stretched
    long double inner_slope = 0.0L;  ///< K_θb of the simply supported cases
    long double inner_shear = 0.0L;  ///< K_Qb
};

/// The closed forms of young_budynas_2002, Table 11.2, in extended precision: near b/a = 0.9 they lose
/// several digits to cancellation.
RoarkCoefficients roark(RoarkCase which, long double inner, long double load_radius,
                        long double poisson_ratio);

} // namespace valve::validation
