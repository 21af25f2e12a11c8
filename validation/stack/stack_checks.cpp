#include <stack/parts.hpp>

namespace valve::validation {

void stack_checks(Recorder& recorder) {
    roark_checks(recorder);
    handbook_checks(recorder);
    large_deflection_checks(recorder);
    disc_spring_checks(recorder);
    mode_checks(recorder);
    window_checks(recorder);
    uneven_checks(recorder);
    wave_checks(recorder);
    floated_checks(recorder);
    contact_checks(recorder);
}

} // namespace valve::validation
