#include <valve/report/text.hpp>
#include <valve/report/uneven_drawing.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string_view>
#include <vector>

namespace valve::report {

namespace {

constexpr int section_columns = 42;
constexpr int section_lines = 16;
constexpr int ring_columns = 48;

/// Lift of a shim at a radius within it, straight between its points [m].
double lift_at(const stack::ShimShape& shim, double radius) {
    const auto after = std::upper_bound(shim.radius.begin(), shim.radius.end(), radius);
    const auto i = static_cast<std::size_t>(
        std::clamp<std::ptrdiff_t>(after - shim.radius.begin(), 1, std::ssize(shim.radius) - 1));
    const double share = (radius - shim.radius[i - 1]) / (shim.radius[i] - shim.radius[i - 1]);
    return shim.lift[i - 1] + std::clamp(share, 0.0, 1.0) * (shim.lift[i] - shim.lift[i - 1]);
}

/// Where the middle of a shim lies that has not lifted, above the piston face [m].
double middle_at_rest(const stack::Stack& stack, int number) {
    double below = 0.0;
    for (int i = 0; i + 1 < number; ++i)
        below += stack.shims[static_cast<std::size_t>(i)].thickness;
    return below + 0.5 * stack.shims[static_cast<std::size_t>(number) - 1].thickness;
}

/// The rectangle that both half-sections are drawn in: from the bore, or the clamp, and from the piston face.
struct Frame {
    double inner = 0.0;       ///< [m]
    double column = 0.0;      ///< [m]
    double line = 0.0;        ///< [m]
    std::vector<double> edge; ///< both edges of the seat
};

Frame frame_of(const stack::UnevenShape& shape, const stack::Stack& stack) {
    double outer = stack.seat.outer_radius;
    double inner = outer;
    double top = 0.0;
    for (const std::vector<stack::ShimShape>* section : {&shape.first, &shape.last})
        for (const stack::ShimShape& shim : *section) {
            inner = std::min(inner, shim.radius.front());
            outer = std::max(outer, shim.radius.back());
            const double highest = *std::max_element(shim.lift.begin(), shim.lift.end());
            top = std::max(top, highest + middle_at_rest(stack, shim.shim));
        }
    return {inner,
            (outer - inner) / (section_columns - 1),
            top / (section_lines - 1),
            {stack.seat.inner_radius, stack.seat.outer_radius}};
}

/// Lines from the top, without the piston face.
std::vector<std::string> section(const std::vector<stack::ShimShape>& shims, const stack::Stack& stack,
                                 const Frame& frame) {
    std::vector<std::string> lines(section_lines, std::string(section_columns, ' '));
    for (auto shim = shims.rbegin(); shim != shims.rend(); ++shim) { // the face shim over all others
        const double middle = middle_at_rest(stack, shim->shim);
        for (int i = 0; i < section_columns; ++i) {
            const double radius = frame.inner + i * frame.column;
            if (radius > shim->radius.back() + 0.5 * frame.column) break;
            const long line = std::lround((lift_at(*shim, radius) + middle) / frame.line);
            const long from_top = section_lines - 1 - std::clamp(line, 0L, section_lines - 1L);
            lines[static_cast<std::size_t>(from_top)][static_cast<std::size_t>(i)] =
                static_cast<char>('0' + shim->shim % 10);
        }
    }
    return lines;
}

/// The piston face with the seat on it.
std::string face(const Frame& frame) {
    std::string text;
    for (int i = 0; i < section_columns; ++i) {
        const double radius = frame.inner + i * frame.column;
        const bool seat = radius > frame.edge.front() - 0.5 * frame.column &&
                          radius < frame.edge.back() + 0.5 * frame.column;
        text += seat ? "▄" : "▁";
    }
    return text;
}

std::string ring_of(const stack::UnevenShape& shape) {
    static constexpr std::array<std::string_view, 9> eighths{" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
    const double crest = *std::max_element(shape.seat_lift.begin(), shape.seat_lift.end());
    const auto steps = static_cast<double>(shape.angle.size() - 1);
    std::string text;
    for (int i = 0; i < ring_columns; ++i) {
        const double place = static_cast<double>(i) / (ring_columns - 1) * steps;
        const auto low = static_cast<std::size_t>(std::min(place, steps - 1.0));
        const double share = place - static_cast<double>(low);
        const double lift = (1.0 - share) * shape.seat_lift[low] + share * shape.seat_lift[low + 1];
        const long level = crest > 0.0 ? std::lround(8.0 * lift / crest) : 0;
        text += eighths.at(static_cast<std::size_t>(std::clamp(level, 0L, 8L)));
    }
    return text;
}

} // namespace

std::string drawing(const stack::UnevenShape& shape, const stack::Stack& stack) {
    const bool ports = stack.windows > 0;
    const std::string_view first = ports ? "mid-port" : "crest";
    const std::string_view last = ports ? "mid-land" : "trough";
    const Frame frame = frame_of(shape, stack);
    const auto head = [](std::string_view where, double lift) {
        return fmt::format("{}, seat lift {} mm", where, mm(lift));
    };
    const auto beside = [](const std::string& left, const std::string& right) {
        std::string text = "  " + pad_right(left, section_columns) + "    " + right;
        text.erase(text.find_last_not_of(' ') + 1);
        return text + "\n";
    };
    std::string out =
        fmt::format("At {} bar, the number of each shim where it lies\n", bar(shape.lift.state.pressure));
    out += beside(head(first, shape.seat_lift.front()), head(last, shape.seat_lift.back()));
    const std::vector<std::string> left = section(shape.first, stack, frame);
    const std::vector<std::string> right = section(shape.last, stack, frame);
    for (std::size_t i = 0; i < left.size(); ++i)
        out += beside(left[i], right[i]);
    out += beside(face(frame), face(frame));
    const std::string from = fmt::format("Ø {}", trim_mm(2.0 * frame.inner));
    const std::string to = trim_mm(2.0 * (frame.inner + (section_columns - 1) * frame.column));
    const std::string ruler = pad_right(from, section_columns - to.size()) + to;
    out += beside(ruler, ruler);
    out += fmt::format("A line is {} mm high, a column {} mm wide; ▄ the seat. Shim 10 is 0, 11 is 1.\n",
                       fixed(1e3 * frame.line, 2), fixed(1e3 * frame.column, 2));
    const double angle = shape.angle.back() * 180.0 / std::numbers::pi;
    return out +
           fmt::format("Seat lift round the ring, {} to {} ({}°, {} times each way):\n  {}  {} to {} mm\n",
                       first, last, fixed(angle, 0), shape.lift.waves, ring_of(shape),
                       mm(shape.seat_lift.front()), mm(shape.seat_lift.back()));
}

} // namespace valve::report
