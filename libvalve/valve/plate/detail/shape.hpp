#pragma once

#include <Eigen/Core>

#include <array>

namespace valve::plate {

// What the annular elements are made of: integration rules and shape functions on s in [0, 1], from the inner
// radius to the outer, h apart [m].

/// Gauss–Legendre rules: positions and weights.
/// Source: abramowitz_stegun_1964, table 25.4.
inline constexpr std::array<double, 5> gauss5_at{0.04691007703066800, 0.23076534494715845, 0.5,
                                                 0.76923465505284155, 0.95308992296933200};
inline constexpr std::array<double, 8> gauss8_at{
    0.01985507175123188, 0.10166676129318664, 0.23723379504183550, 0.40828267875217510,
    0.59171732124782490, 0.76276620495816450, 0.89833323870681336, 0.98014492824876812};
inline constexpr std::array<double, 8> gauss8_weight{
    0.05061426814518813, 0.11119051722668724, 0.15685332293894364, 0.18134189168918100,
    0.18134189168918100, 0.15685332293894364, 0.11119051722668724, 0.05061426814518813};

/// Lagrange polynomials on the five points of the shorter rule.
Eigen::Matrix<double, 5, 1> gauss5_lagrange(double s);

/// Hermite cubics on (w1, w1', w2, w2'), and their derivatives in r.
Eigen::Vector4d hermite(double s, double h);
Eigen::Vector4d hermite_slope(double s, double h);
Eigen::Vector4d hermite_second(double s, double h);

/// Displacement in the plane: two end values and four bubbles s(1−s) P_k(2s−1), with their derivative in s.
/// Legendre polynomials keep the inner 4×4 block well conditioned.
struct InPlaneShape {
    Eigen::Matrix<double, 6, 1> value;
    Eigen::Matrix<double, 6, 1> slope;
};
InPlaneShape in_plane_shape(double s);

} // namespace valve::plate
