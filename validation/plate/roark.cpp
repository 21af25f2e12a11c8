#include <plate/roark.hpp>

#include <cmath>

namespace valve::validation {

RoarkCoefficients roark(RoarkCase which, long double b, long double r, long double nu) {
    const long double ln = std::log(1.0L / b);
    const long double C1 = (1 + nu) / 2 * b * ln + (1 - nu) / 4 * (1 / b - b);
    const long double C2 = (1 - b * b * (1 + 2 * ln)) / 4;
    const long double C3 = b / 4 * ((b * b + 1) * ln + b * b - 1);
    const long double C4 = ((1 + nu) * b + (1 - nu) / b) / 2;
    const long double C5 = (1 - b * b) / 2;
    const long double C6 = b / 4 * (b * b - 1 + 2 * ln);
    const long double C7 = (1 - nu * nu) / 2 * (1 / b - b);
    const long double C8 = (1 + nu + (1 - nu) * b * b) / 2;
    const long double C9 = b * ((1 + nu) / 2 * ln + (1 - nu) / 4 * (1 - b * b));

    const long double lr = std::log(1.0L / r);
    const long double r2 = r * r;
    const long double L3 = r / 4 * ((r2 + 1) * lr + r2 - 1);
    const long double L6 = r / 4 * (r2 - 1 + 2 * lr);
    const long double L9 = r * ((1 + nu) / 2 * lr + (1 - nu) / 4 * (1 - r2));
    const long double L11 = (1 + 4 * r2 - 5 * r2 * r2 - 4 * r2 * (2 + r2) * lr) / 64;
    const long double L14 = (1 - r2 * r2 - 4 * r2 * lr) / 16;
    const long double L17 = (1 - (1 - nu) / 4 * (1 - r2 * r2) - r2 * (1 + (1 + nu) * lr)) / 4;

    const bool ring = which == RoarkCase::k1 || which == RoarkCase::l1;
    const long double La = ring ? L3 : L11; // the load's own part of y, θ and M at the rim
    const long double Lb = ring ? L6 : L14;
    const long double Lc = ring ? L9 : L17;

    // Boundary values at the inner edge, load positive downwards as in the table.
    long double Q = ring ? r / b : (1 - r2) / (2 * b);
    long double M = 0;
    long double theta = 0;
    switch (which) {
    case RoarkCase::l1:
    case RoarkCase::l2:
        M = -(Q * C9 - Lc) / C8;
        break;
    case RoarkCase::k1:
    case RoarkCase::k2:
        theta = -(Q * C9 - Lc) / C7;
        break;
    case RoarkCase::d2:
        M = -(C3 * L17 - C9 * L11) / (C2 * C9 - C3 * C8);
        Q = (C2 * L17 - C8 * L11) / (C2 * C9 - C3 * C8);
        break;
    }
    RoarkCoefficients k;
    k.tip = -(theta * C1 + M * C2 + Q * C3 - La);
    k.rim_slope = -(theta * C4 + M * C5 + Q * C6 - Lb);
    k.inner_moment = -M;
    k.inner_slope = -theta;
    k.inner_shear = Q;
    return k;
}

} // namespace valve::validation
