#include <solid/results.hpp>

#include <fmt/format.h>

#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace valve::validation::solid {
namespace {

/// The word of `line` after `mark`, without a comma at its end; empty where `mark` does not occur.
std::string word_after(const std::string& line, const std::string& mark) {
    const std::size_t found = line.find(mark);
    if (found == std::string::npos) return {};
    std::string word;
    std::istringstream(line.substr(found + mark.size())) >> word;
    if (!word.empty() && word.back() == ',') word.pop_back();
    return word;
}

class Reader {
public:
    explicit Reader(const std::filesystem::path& file) : m_name(file.string()), m_in(file) {
        if (!m_in) throw std::runtime_error(fmt::format("cannot read {}", m_name));
    }

    std::vector<StepResult> read(int steps) {
        std::map<long, StepResult> results; // by the time at the end of the step
        while (next_line()) {
            const std::string time = word_after(m_line, " and time ");
            if (time.empty()) continue;
            read_block(results[std::lround(std::stod(time))]);
        }
        std::vector<StepResult> in_order;
        for (int step = 1; step <= steps; ++step) {
            const auto found = results.find(step);
            if (found == results.end() || found->second.axial.empty())
                throw std::runtime_error(
                    fmt::format("{} has no results of step {} of {}", m_name, step, steps));
            in_order.push_back(found->second);
        }
        return in_order;
    }

    double read_buckling_factor() {
        while (next_line())
            if (m_line.find("B U C K L I N G   F A C T O R") != std::string::npos) {
                next_filled_line();
                next_filled_line();
                next_filled_line(); // below a heading of two lines
                return second_number("buckling factor");
            }
        throw std::runtime_error(fmt::format("{} has no buckling factor", m_name));
    }

private:
    /// What follows the heading in `m_line`.
    void read_block(StepResult& result) {
        const std::string heading = m_line;
        if (heading.find("displacements") != std::string::npos) {
            // x, y, z of each node, to the blank line after the last
            next_filled_line();
            do {
                std::istringstream row(m_line);
                int node = 0;
                double x = 0.0;
                double y = 0.0;
                if (!(row >> node >> x >> y)) fail(heading);
                result.axial[node] = y;
            } while (next_line() && !m_line.empty());
        } else if (const std::string slave = word_after(heading, "slave set "); !slave.empty()) {
            next_filled_line(); // a heading of its own
            next_filled_line();
            result.contact[{slave, word_after(heading, "master set ")}] = second_number(heading);
        }
    }

    double second_number(const std::string& heading) const {
        std::istringstream row(m_line);
        double x = 0.0;
        double y = 0.0;
        if (!(row >> x >> y)) fail(heading);
        return y;
    }

    bool next_line() { return static_cast<bool>(std::getline(m_in, m_line)); }
    void next_filled_line() {
        while (next_line() && m_line.empty()) {
        }
    }
    [[noreturn]] void fail(const std::string& heading) const {
        throw std::runtime_error(
            fmt::format("{}: unexpected line \"{}\" after \"{}\"", m_name, m_line, heading));
    }

    std::string m_name;
    std::ifstream m_in;
    std::string m_line;
};

} // namespace

double read_buckling_factor(const std::filesystem::path& file) {
    return Reader(file).read_buckling_factor();
}

std::vector<StepResult> read_results(const std::filesystem::path& file, int steps) {
    return Reader(file).read(steps);
}

} // namespace valve::validation::solid
