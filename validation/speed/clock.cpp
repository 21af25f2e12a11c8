#include <speed/clock.hpp>

#include <fmt/format.h>

#include <sys/resource.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <stdexcept>

namespace valve::validation::speed {
namespace {

double seconds(const timeval& time) {
    return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
}

} // namespace

double own_time() {
    timespec time{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
}

double children_time() {
    rusage usage{};
    getrusage(RUSAGE_CHILDREN, &usage);
    return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

double time_of(const std::function<void()>& work) {
    const double before = own_time();
    work();
    return own_time() - before;
}

std::vector<double> medians(const std::vector<std::function<void()>>& work, int repeats) {
    std::vector<std::vector<double>> times(work.size());
    for (int i = 0; i < repeats; ++i)
        for (std::size_t k = 0; k < work.size(); ++k)
            times[k].push_back(time_of(work[k]));
    std::vector<double> result;
    for (const std::vector<double>& of_one : times)
        result.push_back(median(of_one));
    return result;
}

double time_of_command(const std::string& command) {
    const double before = children_time();
    if (std::system(command.c_str()) != 0) throw std::runtime_error(fmt::format("failed: {}", command));
    return children_time() - before;
}

double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : 0.5 * (values[half - 1] + values[half]);
}

double fitted_exponent(const std::vector<double>& x, const std::vector<double>& y) {
    const auto count = static_cast<double>(x.size());
    double sx = 0.0;
    double sy = 0.0;
    double sxx = 0.0;
    double sxy = 0.0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        const double lx = std::log(x[i]);
        const double ly = std::log(y[i]);
        sx += lx;
        sy += ly;
        sxx += lx * lx;
        sxy += lx * ly;
    }
    return (count * sxy - sx * sy) / (count * sxx - sx * sx);
}

} // namespace valve::validation::speed
