#include <valve/motion/detail/rough_road.hpp>
#include <valve/motion/event.hpp>
#include <valve/motion/stopped.hpp>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <span>
#include <utility>

namespace valve::motion::detail {

namespace {

using Complex = std::complex<double>;

// In steps of 1/rough_road_length: from 0.05 to 10 cycles/m, around 0.1.
constexpr std::uint64_t longest = 100;
constexpr std::uint64_t shortest = 20'000;
constexpr std::uint64_t reference = 200;
constexpr std::uint64_t in_period = 400'000; // points
static_assert(longest == 0.05 * rough_road_length && shortest == 10.0 * rough_road_length &&
              reference == 0.1 * rough_road_length && in_period == rough_road_length / rough_spacing);

Complex product(Complex a, Complex b) { // no care is needed for what is infinite
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

/// Σ_j x_j e^(−2πi k j/size) of a power of 2, in an order of its own; `roots` are the first half of
/// e^(−2πi k/size).
void analyse(std::span<Complex> x, std::span<const Complex> roots) {
    for (std::size_t half = x.size() / 2, stride = 1; half > 0; half /= 2, stride *= 2)
        for (std::size_t begin = 0; begin < x.size(); begin += 2 * half)
            for (std::size_t k = 0; k < half; ++k) {
                Complex& a = x[begin + k];
                Complex& b = x[begin + k + half];
                const Complex difference = a - b;
                a += b;
                b = product(difference, roots[k * stride]);
            }
}

/// Takes `analyse` back, but for a factor of the size.
void compose(std::span<Complex> x, std::span<const Complex> roots) {
    for (std::size_t half = 1, stride = x.size() / 2; half < x.size(); half *= 2, stride /= 2)
        for (std::size_t begin = 0; begin < x.size(); begin += 2 * half)
            for (std::size_t k = 0; k < half; ++k) {
                Complex& a = x[begin + k];
                Complex& b = x[begin + k + half];
                const Complex turned = product(b, std::conj(roots[k * stride]));
                b = a - turned;
                a += turned;
            }
}

/// e^(iπ k²/N) from k = 0 on: products k j of waves and points are differences of squares.
std::vector<Complex> chirps(std::size_t count) {
    constexpr std::uint64_t turn = 2 * in_period;
    std::vector<Complex> result(count);
    for (std::uint64_t k = 0; k < count; ++k)
        result[k] = std::polar(1.0, std::numbers::pi * static_cast<double>(k % turn * (k % turn) % turn) /
                                        static_cast<double>(in_period));
    return result;
}

/// c_k of Σ c_k e^(2πi k s/length), its imaginary part being the road.
std::vector<Complex> waves(double roughness, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    std::vector<Complex> result;
    result.reserve(shortest - longest + 1);
    for (std::uint64_t k = longest; k <= shortest; ++k) {
        const double ratio = static_cast<double>(reference) / static_cast<double>(k);
        const double share = k == longest || k == shortest ? 0.5 : 1.0; // of a step, within the band
        const double amplitude = std::sqrt(2.0 * roughness * ratio * ratio * share / rough_road_length);
        constexpr double whole = 18446744073709551616.0; // 2^64
        result.push_back(
            std::polar(amplitude, 2.0 * std::numbers::pi * (static_cast<double>(random()) / whole)));
    }
    return result;
}

} // namespace

std::vector<double> rough_heights(double roughness, std::uint64_t seed, std::size_t points,
                                  const std::stop_token& stop) {
    const auto ask = [&] {
        if (stop.stop_requested()) throw Stopped("stopped");
    };
    // Σ c_k w^(kj) with w^(kj) = v^(k²) v^(j²) v^(−(j−k)²): a convolution over j − k.
    std::vector<Complex> x = waves(roughness, seed);
    const std::size_t count = x.size();
    std::size_t size = 1;
    while (size < points + count - 1)
        size *= 2;
    std::vector<Complex> roots(size / 2);
    for (std::size_t k = 0; k < roots.size(); ++k)
        roots[k] =
            std::polar(1.0, -2.0 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(size));
    const std::vector<Complex> chirp = chirps(std::max<std::size_t>(points, shortest) + 1);
    for (std::size_t k = 0; k < count; ++k)
        x[k] = product(x[k], chirp[longest + k]);
    x.resize(size);
    std::vector<Complex> y(size);
    for (std::size_t e = 0; e < points + count - 1; ++e) // j − k from −shortest on
        y[e] = std::conj(chirp[e < shortest ? shortest - e : e - shortest]);
    ask();
    analyse(x, roots);
    ask();
    analyse(y, roots);
    ask();
    for (std::size_t e = 0; e < size; ++e)
        x[e] = product(x[e], y[e]);
    compose(x, roots);
    ask();
    std::vector<double> heights(points);
    for (std::size_t j = 0; j < points; ++j)
        heights[j] = product(x[j + count - 1], chirp[j]).imag() / static_cast<double>(size);
    const double first = heights.front();
    for (double& z : heights)
        z -= first;
    return heights;
}

} // namespace valve::motion::detail
