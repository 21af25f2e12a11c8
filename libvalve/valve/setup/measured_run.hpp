#pragma once

#include <valve/core/error.hpp>
#include <valve/damper/measured.hpp>

#include <string>
#include <vector>

namespace valve::setup {

/// `columns` that say nothing, or what the table has not. what() is the reason alone: who catches it knows
/// which key or option gave them.
class ColumnsError : public InputError {
public:
    using InputError::InputError;
};

/// Reads a dynamometer run: a table with a head line, its cells parted by commas, semicolons or tabs, its
/// decimals by points, or by commas where those do not part the cells. Lines that begin with # and empty
/// lines do not count.
///
/// `columns` says which columns hold what, "speed=velocity[in/s],force=-load[lbf]": `speed` and one of
/// `force` (on the rod) and `damping` (less the force at rest), each with the column's name in the head, the
/// unit of its numbers, and a minus where its sign is the other way round. Without `columns`, "speed=speed,
/// force=force". A unit may stand in the head instead: "load [lbf]".
///
/// Lines in the order of time, the rod swinging to and fro, are a loop: then each way of each speed is kept
/// apart. Of other tables the mean is taken at each speed.
///
/// Throws InputError with file, line and column for a table that cannot be read so, and ColumnsError for
/// `columns` that were given and say something else. Refused are speeds and forces that no dynamometer gives,
/// too.
damper::MeasuredRun read_run(const std::string& path, const std::string& columns = "");

/// A rod's travel over time.
struct Trace {
    std::vector<double> times;   ///< from 0 on, rising [s]
    std::vector<double> travels; ///< as written [m]
};

/// Reads the like of "time [s];travel [mm]", four lines or more, times rising; `columns` as above, of `time`
/// and `travel`. Throws as read_run().
Trace read_trace(const std::string& path, const std::string& columns = "");

/// The height of the ground along it.
struct RoadProfile {
    std::vector<double> distance; ///< rising, as written [m]
    std::vector<double> heights;  ///< [m]
};

/// Reads the like of "distance [m];height [mm]", two lines or more, distances rising; `columns` as above, of
/// `distance` and `height`. Throws as read_run().
RoadProfile read_profile(const std::string& path, const std::string& columns = "");

} // namespace valve::setup
