#include <valve/report/sketch.hpp>
#include <valve/report/text.hpp>
#include <valve/setup/shims.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <utility>

namespace valve::report {

namespace {

constexpr int drawing_columns = 60;
constexpr std::size_t label_columns = 8;
constexpr double thickness_of_eighth = 0.05e-3; // [m]

std::string_view bar_glyph(double thickness) {
    static constexpr std::array<std::string_view, 8> eighths{"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
    const long level = std::lround(thickness / thickness_of_eighth);
    return eighths.at(static_cast<std::size_t>(std::clamp(level, 1L, 8L) - 1));
}

/// One line of the drawing: glyphs by column, words at both sides.
class Line {
public:
    Line(std::string label, double scale)
        : m_label(std::move(label)), m_scale(scale), m_cells(drawing_columns + 1, " ") {}

    /// Fills from radius `from` to radius `to` [m], at least one column.
    Line& fill(double from, double to, std::string_view glyph) {
        const int first = column(from);
        const int last = std::max(first + 1, column(to));
        for (int i = first; i < last && i < static_cast<int>(m_cells.size()); ++i)
            m_cells[static_cast<std::size_t>(i)] = glyph;
        return *this;
    }

    std::string with(std::string_view remark) const {
        std::string text = pad_left(m_label, label_columns) + "  ";
        for (const std::string_view glyph : m_cells)
            text += glyph;
        text += "  ";
        text += remark;
        text.erase(text.find_last_not_of(' ') + 1);
        return text + "\n";
    }

private:
    int column(double radius) const { return static_cast<int>(std::lround(radius * m_scale)); }

    std::string m_label;
    double m_scale; // columns a metre of radius
    std::vector<std::string_view> m_cells;
};

double largest_radius(const stack::Stack& stack) {
    double largest = std::max({stack.seat.outer_radius, stack.zone.outer_radius, stack.clamp_radius});
    for (const stack::Shim& shim : stack.shims)
        largest = std::max(largest, shim.outer_radius);
    if (stack.disc) largest = std::max(largest, stack.disc->outer_radius);
    if (stack.floating)
        largest = std::max({largest, stack.floating->stop_radius, stack.floating->spring_radius});
    return largest;
}

std::string diameter(double radius) {
    return "Ø " + trim_mm(2.0 * radius);
}

/// Diameters under the drawing, at round steps that leave room for the figures.
std::string ruler(double scale, double largest) {
    const double columns_a_mm = scale * 0.5e-3;
    double step = 1.0; // of diameter [mm]
    for (const double wider : {2.0, 5.0, 10.0, 20.0, 50.0, 100.0})
        if (step * columns_a_mm < 6.0) step = wider;
    std::string figures;
    for (int i = 0; i * step <= 2e3 * largest; ++i) {
        const auto at = static_cast<std::size_t>(std::lround(i * step * columns_a_mm));
        figures = pad_right(figures, at) + fmt::format("{:g}", i * step);
    }
    return pad_left("Ø mm", label_columns) + "  " + figures + "\n";
}

} // namespace

std::vector<ShimRun> runs(const stack::Stack& stack) {
    std::vector<ShimRun> result;
    for (std::size_t i = 0; i < stack.shims.size(); ++i) {
        if (!result.empty() && result.back().shim == stack.shims[i]) {
            ++result.back().count;
        } else {
            result.push_back({static_cast<int>(i), 1, stack.shims[i]});
        }
    }
    return result;
}

std::string words(const ShimRun& run) {
    const std::string one = setup::shim_text(2.0 * run.shim.outer_radius, run.shim.thickness);
    return run.count == 1 ? one : fmt::format("{} * {}", run.count, one);
}

std::string sketch(const stack::Stack& stack) {
    const double largest = largest_radius(stack);
    const double scale = drawing_columns / largest;
    const double inner = stack.floating ? stack.bore_radius : 0.0;
    std::string drawing;

    if (stack.floating) {
        const stack::Float& f = *stack.floating;
        drawing += Line("stop", scale)
                       .fill(f.stop_radius, f.stop_radius, "▀")
                       .with(fmt::format("{}, float {} mm", diameter(f.stop_radius), trim_mm(f.travel)));
        drawing += Line("spring", scale)
                       .fill(f.spring_radius, f.spring_radius, "§")
                       .with(fmt::format("{}, {} N + {} N/mm", diameter(f.spring_radius),
                                         fmt::format("{:.3g}", f.preload),
                                         fmt::format("{:.3g}", f.spring_rate * 1e-3)));
    } else {
        drawing += Line("clamp", scale).fill(0.0, stack.clamp_radius, "▀").with(diameter(stack.clamp_radius));
    }

    if (stack.disc)
        drawing += Line("disc", scale)
                       .fill(inner, stack.disc->outer_radius, "█")
                       .with(fmt::format("rigid, {}", diameter(stack.disc->outer_radius)));
    const std::vector<ShimRun> all = runs(stack);
    for (auto run = all.rbegin(); run != all.rend(); ++run) {
        const bool spacer = run->shim.outer_radius <= stack.clamp_radius && !stack.floating;
        for (int i = run->count; i-- > 0;)
            drawing += Line(fmt::format("{}", run->first + i + 1), scale)
                           .fill(inner, run->shim.outer_radius, bar_glyph(run->shim.thickness))
                           .with(i + 1 < run->count ? "" : words(*run) + (spacer ? "  spacer" : ""));
    }

    Line face("seat", scale);
    if (!stack.floating || stack.floating->rests_on == stack::RestsOn::hub)
        face.fill(inner, stack.clamp_radius, "▄");
    face.fill(stack.seat.inner_radius, stack.seat.outer_radius, "▄");
    const bool knife = stack.seat.inner_radius >= stack.seat.outer_radius;
    std::string seat = diameter(stack.seat.inner_radius);
    seat += knife ? ", knife edge" : fmt::format(" to {}", trim_mm(2.0 * stack.seat.outer_radius));
    if (stack.seat.height > 0.0) seat += fmt::format(", {} mm up", trim_mm(stack.seat.height));
    drawing += face.with(seat);

    drawing += Line("piston", scale)
                   .fill(0.0, largest, "█")
                   .fill(stack.zone.inner_radius, stack.zone.outer_radius, "↑")
                   .with(fmt::format("ports {} to {}", diameter(stack.zone.inner_radius),
                                     trim_mm(2.0 * stack.zone.outer_radius)));
    return drawing + ruler(scale, largest);
}

} // namespace valve::report
