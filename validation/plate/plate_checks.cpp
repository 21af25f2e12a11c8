#include <plate/parts.hpp>

#include <cmath>
#include <string>
#include <string_view>

namespace valve::validation {

double printed_value(const char* printed) {
    return std::stod(printed);
}

double last_digit(const char* printed) {
    const std::string_view text = printed;
    const std::size_t point = text.find('.');
    const std::size_t decimals = point == std::string_view::npos ? 0 : text.size() - point - 1;
    return std::pow(10.0, -static_cast<double>(decimals));
}

void plate_checks(Recorder& recorder) {
    circle_checks(recorder);
    added_mass_checks(recorder);
}

} // namespace valve::validation
