#pragma once

#include <valve/report/field.hpp>
#include <valve/study/unevenness.hpp>

#include <string>
#include <vector>

namespace valve::report {

Fields<study::Unevenness> unevenness_fields();

/// A row a valve; its sentence under "says".
Json json(const std::vector<study::Unevenness>& valves);

/// "From 2.57 m/s on (10.71 bar on the face shim) piston.compression bends into 3 waves round the ring: …".
std::string sentence(const study::Unevenness& valve);

std::vector<std::string> sentences(const std::vector<study::Unevenness>& valves);

} // namespace valve::report
