#include <valve/report/series.hpp>

namespace valve::report {

void add_moment(Json& row, const Json& series, std::size_t moment) {
    for (const auto& [key, list] : series.items()) {
        if (list.is_array())
            row[key] = list.at(moment);
        else
            for (const auto& [valve, lifts] : list.items())
                row["lift_" + valve + "_m"] = lifts.at(moment);
    }
}

} // namespace valve::report
