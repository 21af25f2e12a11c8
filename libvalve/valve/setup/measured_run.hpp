#pragma once

#include <valve/damper/measured.hpp>

#include <string>

namespace valve::setup {

/// Reads a dynamometer run: a table with a head line, its cells parted by commas, semicolons or tabs, its
/// decimals by points, or by commas where those do not part the cells. Lines that begin with # and empty
/// lines do not count.
///
/// `columns` says which columns hold what, "speed=velocity[in/s],force=-load[lbf]": `speed` and one of
/// `force` (on the rod) and `damping` (less the force at rest), each with the column's name in the head, the
/// unit of its numbers, and a minus where its sign is the other way round. Without `columns`, "speed=speed,
/// force=force". A unit may stand in the head instead: "load [lbf]".
///
/// Throws InputError with file, line and column for a table that cannot be read so, and for `columns` that
/// say something else. Refused are speeds and forces that no dynamometer gives, too.
damper::MeasuredRun read_run(const std::string& path, const std::string& columns = "");

} // namespace valve::setup
