#include <valve/report/curve_fields.hpp>
#include <valve/report/measured.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::report {

namespace {

using damper::Deviation;
using damper::MeasuredForce;
using study::RunBeside;

std::string_view kind_words(MeasuredForce kind) {
    return kind == MeasuredForce::rod ? "force on the rod" : "damping force";
}

std::string signed_newton(double force) {
    const std::string text = newton(force);
    return force > 0.0 && text != "0" ? "+" + text : text;
}

/// Measured less predicted, as amounts: positive where more is measured against the stroke [N].
std::optional<double> more(const Deviation& deviation) {
    const std::optional<double> difference = deviation.difference();
    if (difference && deviation.measured.speed < 0.0) return -*difference;
    return difference;
}

std::string off_in_percent(const Deviation& deviation) {
    const std::optional<double> difference = more(deviation);
    if (!difference || deviation.measured.force == 0.0) return "-";
    const std::string text = percent(*difference / std::abs(deviation.measured.force));
    return text == "0" || text.front() == '-' ? text : "+" + text;
}

std::string predicted(const Deviation& deviation) {
    return deviation.predicted ? newton(*deviation.predicted) : "unsolved";
}

std::string difference(const Deviation& deviation) {
    const std::optional<double> value = more(deviation);
    return value ? signed_newton(*value) : "-";
}

double mean(const damper::Deviations& deviations) {
    double sum = 0.0;
    int count = 0;
    for (const Deviation& deviation : deviations.points)
        if (const std::optional<double> difference = more(deviation)) {
            sum += *difference;
            ++count;
        }
    return count > 0 ? sum / count : 0.0;
}

/// "mean +12 N, root mean square 30 N (5 % of the measured), worst +70 N at 2 m/s".
std::string summary(const damper::Deviations& deviations) {
    if (!deviations.worst) return "no speed of the run has a prediction";
    const Deviation& worst = deviations.points[*deviations.worst];
    std::string share;
    if (deviations.rms_share) share = fmt::format(" ({} % of the measured)", percent(*deviations.rms_share));
    return fmt::format("mean {} N, root mean square {} N{}, worst {} N at {} m/s",
                       signed_newton(mean(deviations)), newton(*deviations.rms), share, difference(worst),
                       metres_a_second(worst.measured.speed));
}

std::string head(const RunBeside& beside) {
    return fmt::format("\nMeasured: {}, {}, nothing is fitted; differences: + where more is measured\n",
                       beside.file, kind_words(beside.kind));
}

std::string line(const std::string& sentence) {
    return wrapped(sentence, page_columns - 2, "  ") + "\n";
}

} // namespace

Json points(const RunBeside& beside) {
    Json list = Json::array();
    for (const Deviation& deviation : beside.deviations.points) {
        Json row;
        add_fields(row, deviation_fields(), deviation);
        list.push_back(row);
    }
    return list;
}

Json json(const RunBeside& beside) {
    const damper::Deviations& deviations = beside.deviations;
    Json object;
    object["file"] = beside.file;
    object["force"] = beside.kind == MeasuredForce::rod ? "rod" : "damping";
    object["mean_difference_N"] = or_null(deviations.mean);
    object["rms_difference_N"] = or_null(deviations.rms);
    object["rms_difference_share"] = or_null(deviations.rms_share);
    object["worst_speed_m_s"] =
        deviations.worst ? Json(deviations.points[*deviations.worst].measured.speed) : Json(nullptr);
    object["points"] = points(beside);
    return object;
}

std::string sentence(const RunBeside& beside) {
    return "Measured less predicted, as amounts: " + summary(beside.deviations) + ".";
}

std::string text(const RunBeside& beside) {
    // Of a loop each speed has two ways; of another run, how often it was measured.
    const std::vector<Deviation>& deviations = beside.deviations.points;
    const bool loop = !deviations.empty() && deviations.front().measured.way;
    Table table({{"speed", "m/s"},
                 {"measured", "N"},
                 {loop ? "speed" : "times", ""},
                 {"predicted", "N"},
                 {"difference", "N"},
                 {"of measured", "%"}});
    for (const Deviation& deviation : deviations) {
        const damper::MeasuredPoint& measured = deviation.measured;
        table.add({metres_a_second(measured.speed), newton(measured.force),
                   measured.way ? std::string(name(*measured.way)) : std::to_string(measured.count),
                   predicted(deviation), difference(deviation), off_in_percent(deviation)});
    }
    return head(beside) + table.text() + line(sentence(beside));
}

std::string text(const std::vector<RunBeside>& besides) {
    std::vector<Table::Column> columns{{"speed", "m/s"}, {"measured", "N"}};
    for (std::size_t i = 0; i < besides.size(); ++i) {
        columns.push_back({setup_letter(i), "N"});
        columns.push_back({"measured - " + setup_letter(i), "N"});
    }
    Table table(columns);
    for (std::size_t row = 0; row < besides.front().deviations.points.size(); ++row) {
        const damper::MeasuredPoint& measured = besides.front().deviations.points[row].measured;
        std::vector<std::string> cells{metres_a_second(measured.speed), newton(measured.force)};
        for (const RunBeside& beside : besides) {
            cells.push_back(predicted(beside.deviations.points.at(row)));
            cells.push_back(difference(beside.deviations.points.at(row)));
        }
        table.add(cells);
    }
    std::string out = head(besides.front()) + table.text();
    for (std::size_t i = 0; i < besides.size(); ++i)
        out += line(fmt::format("Measured less {}, as amounts: {}.", setup_letter(i),
                                summary(besides[i].deviations)));
    return out;
}

} // namespace valve::report
