#include <valve/plate/detail/shape.hpp>

namespace valve::plate {

Eigen::Matrix<double, 5, 1> gauss5_lagrange(double s) {
    Eigen::Matrix<double, 5, 1> value;
    for (std::size_t i = 0; i < 5; ++i) {
        double product = 1.0;
        for (std::size_t j = 0; j < 5; ++j)
            if (j != i) product *= (s - gauss5_at[j]) / (gauss5_at[i] - gauss5_at[j]);
        value[static_cast<Eigen::Index>(i)] = product;
    }
    return value;
}

Eigen::Vector4d hermite(double s, double h) {
    const double t = 1.0 - s;
    return {t * t * (1.0 + 2.0 * s), h * s * t * t, s * s * (3.0 - 2.0 * s), -h * s * s * t};
}

Eigen::Vector4d hermite_slope(double s, double h) {
    return {-6.0 * s * (1.0 - s) / h, (1.0 - s) * (1.0 - 3.0 * s), 6.0 * s * (1.0 - s) / h,
            s * (3.0 * s - 2.0)};
}

Eigen::Vector4d hermite_second(double s, double h) {
    return {(12.0 * s - 6.0) / (h * h), (6.0 * s - 4.0) / h, (6.0 - 12.0 * s) / (h * h), (6.0 * s - 2.0) / h};
}

InPlaneShape in_plane_shape(double s) {
    const double x = 2.0 * s - 1.0;
    const std::array<double, 4> p{1.0, x, 0.5 * (3.0 * x * x - 1.0), 0.5 * x * (5.0 * x * x - 3.0)};
    const std::array<double, 4> dp{0.0, 2.0, 6.0 * x, 15.0 * x * x - 3.0};
    InPlaneShape shape;
    shape.value << 1.0 - s, s, 0.0, 0.0, 0.0, 0.0;
    shape.slope << -1.0, 1.0, 0.0, 0.0, 0.0, 0.0;
    for (std::size_t k = 0; k < 4; ++k) {
        const auto row = static_cast<Eigen::Index>(2 + k);
        shape.value[row] = s * (1.0 - s) * p[k];
        shape.slope[row] = (1.0 - 2.0 * s) * p[k] + s * (1.0 - s) * dp[k];
    }
    return shape;
}

} // namespace valve::plate
