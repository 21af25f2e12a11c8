#include <valve/core/detail/infinity.hpp>
#include <valve/stack/detail/ring_law.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::stack {
namespace {

constexpr int most_halvings = 7;

/// Keeps a cubic monotone.
/// Source: fritsch_carlson_1980 (0 and 3 of the secant).
LiftCubic monotone(LiftCubic cubic) {
    const double steepest = 3.0 * cubic.secant();
    cubic.left = std::clamp(cubic.left, 0.0, steepest);
    cubic.right = std::clamp(cubic.right, 0.0, steepest);
    return cubic;
}

LiftCubic between(double low, const LiftLaw::Value& at_low, double high, const LiftLaw::Value& at_high) {
    return monotone({low, high, at_low.lift, at_high.lift, at_low.slope, at_high.slope});
}

bool is_close(double missed, double lift) {
    return std::abs(missed) <= RingLaw::accuracy * lift + RingLaw::resolution;
}

/// Whether slopes and secant differ by too little for anything between the ends to matter.
bool is_straight(const LiftCubic& cubic) {
    const double width = cubic.high - cubic.low;
    const double bend = 0.125 * width * (cubic.right - cubic.left);
    const double twist = 0.125 * width * (cubic.right + cubic.left - 2.0 * cubic.secant());
    return is_close(bend, cubic.low_lift) && is_close(twist, cubic.low_lift);
}

/// The slope at the beginning of a law, which no state tells: that of the parabola through both ends with the
/// slope at the other.
void bend_evenly(LiftCubic& cubic) {
    cubic.left = 2.0 * cubic.secant() - cubic.right;
    cubic = monotone(cubic);
}

} // namespace

/// Knots above the beginning are the rungs that lie above it.
int RingLaw::rung_of(int knot) {
    if (!m_first_rung) {
        m_first_rung = m_path.first_rung();
        while (m_path.pressure_of(*m_first_rung) <= m_begin.pressure)
            ++*m_first_rung;
    }
    return *m_first_rung + knot - 1;
}

/// Lifts at a pressure and `more`, not below those of `below`. Where they fall by more than the division of
/// the stack errs, none.
std::optional<RingMeans> RingLaw::solve(double pressure, const RingMeans& below, const LiftLaw::Value& more) {
    constexpr double error_of_division = 0.005;
    std::optional<RingMeans> found = m_path.means_at(pressure);
    if (!found) return std::nullopt;
    for (const auto mean : {&RingMeans::ring, &RingMeans::open_arcs}) {
        LiftLaw::Value& lift = (*found).*mean;
        lift = {lift.lift + more.lift, lift.slope + more.slope};
        const double before = (below.*mean).lift;
        if (lift.lift < (1.0 - error_of_division) * before - resolution) return std::nullopt;
        if (lift.lift < before) lift = {before, 0.0};
        lift.slope = std::max(lift.slope, 0.0);
    }
    return found;
}

const RingLaw::Knot* RingLaw::knot(int number) {
    if (const auto known = m_knots.find(number); known != m_knots.end()) return &known->second;
    if (m_last && number > *m_last) return nullptr;
    if (number == 0) {
        const LiftLaw::Value lift{m_begin.lift, 0.0};
        return &m_knots.emplace(0, Knot{m_begin.pressure, {lift, lift}}).first->second;
    }
    const Knot* below = knot(number - 1);
    if (below == nullptr) return nullptr;
    const int rung = rung_of(number);
    const bool at_most = m_path.pressure_of(rung) >= m_most;
    double pressure = at_most ? m_most : m_path.pressure_of(rung);
    if (at_most) m_last = number;
    if (!(at_most || rung <= 0 ? m_path.holds_at(pressure) : m_path.reaches(rung))) {
        m_last = number;
        pressure = m_path.end_between(below->pressure, pressure);
    }
    if (!(pressure > below->pressure)) {
        m_last = number - 1;
        return nullptr;
    }
    const std::optional<RingMeans> means = solve(pressure, below->means);
    if (!means) {
        m_last = number - 1;
        return nullptr;
    }
    return &m_knots.emplace(number, Knot{pressure, *means}).first->second;
}

double RingLaw::next(double pressure) {
    for (int number = 0;; ++number) {
        const Knot* here = knot(number);
        if (here == nullptr) return infinity;
        if (here->pressure > pressure) return here->pressure;
    }
}

double RingLaw::end() {
    for (int number = 0; !m_last; ++number)
        knot(number);
    return m_knots.at(*m_last).pressure;
}

const std::vector<RingLaw::Piece>& RingLaw::pieces(int below) {
    if (const auto known = m_pieces.find(below); known != m_pieces.end()) return known->second;
    const Knot& low = *knot(below);
    Knot high = *knot(below + 1);
    if (below == 0) {
        const double fades = m_begin.more / (high.pressure - low.pressure);
        high.means.ring.slope -= fades;
        high.means.open_arcs.slope -= fades;
    }
    const Piece whole{between(low.pressure, low.means.ring, high.pressure, high.means.ring),
                      between(low.pressure, low.means.open_arcs, high.pressure, high.means.open_arcs)};
    std::vector<Piece> pieces;
    divide(whole, below, below > 0, 0, pieces);
    return m_pieces.emplace(below, std::move(pieces)).first->second;
}

/// `below`: the knot that the interval begins at. `is_sure`: the slopes at both ends of the piece are known,
/// not only that at the upper.
void RingLaw::divide(Piece piece, int below, bool is_sure, int depth, std::vector<Piece>& pieces) {
    const auto finish = [is_sure](Piece& part) {
        if (is_sure) return;
        bend_evenly(part.ring);
        bend_evenly(part.open_arcs);
    };
    finish(piece);
    const double low = piece.ring.low;
    const double high = piece.ring.high;
    const double middle = 0.5 * (low + high);
    const RingMeans at_low{{piece.ring.low_lift, piece.ring.left},
                           {piece.open_arcs.low_lift, piece.open_arcs.left}};
    const RingMeans at_high{{piece.ring.high_lift, piece.ring.right},
                            {piece.open_arcs.high_lift, piece.open_arcs.right}};
    const bool straight = is_sure && is_straight(piece.ring) && is_straight(piece.open_arcs);
    std::optional<RingMeans> means;
    LiftLaw::Value more;
    if (below == 0) {
        const double begin = m_begin.pressure;
        const double width = knot(1)->pressure - begin;
        more = {m_begin.more * (1.0 - (middle - begin) / width), -m_begin.more / width};
    }
    if (!straight && depth < most_halvings) means = solve(middle, at_low, more);
    if (!means) {
        pieces.push_back(piece);
        return;
    }
    means->ring.lift = std::min(means->ring.lift, at_high.ring.lift);
    means->open_arcs.lift = std::min(means->open_arcs.lift, at_high.open_arcs.lift);
    Piece left{between(low, at_low.ring, middle, means->ring),
               between(low, at_low.open_arcs, middle, means->open_arcs)};
    const Piece right{between(middle, means->ring, high, at_high.ring),
                      between(middle, means->open_arcs, high, at_high.open_arcs)};
    if (is_close(piece.ring.at(middle).lift - means->ring.lift, means->ring.lift) &&
        is_close(piece.open_arcs.at(middle).lift - means->open_arcs.lift, means->open_arcs.lift)) {
        finish(left);
        pieces.push_back(left);
        pieces.push_back(right);
        return;
    }
    divide(left, below, is_sure, depth + 1, pieces);
    divide(right, below, true, depth + 1, pieces);
}

UnevenLawValue RingLaw::value(const Piece& piece, double pressure) {
    return {piece.ring.at(pressure), piece.open_arcs.at(pressure), false};
}

UnevenLawValue RingLaw::at(double pressure) {
    int above = 0;
    const Knot* low = knot(0);
    if (pressure <= low->pressure) return {low->means.ring, low->means.open_arcs, false};
    for (const Knot* high = knot(++above);; high = knot(++above)) {
        if (high == nullptr) {
            const double beyond = pressure - low->pressure;
            const auto go_on = [beyond](LiftLaw::Value lift) {
                return LiftLaw::Value{lift.lift + beyond * lift.slope, lift.slope};
            };
            return {go_on(low->means.ring), go_on(low->means.open_arcs), true};
        }
        if (pressure == high->pressure) return {high->means.ring, high->means.open_arcs, false};
        if (pressure < high->pressure) break;
        low = high;
    }
    const std::vector<Piece>& inside = pieces(above - 1);
    const auto piece = std::find_if(inside.begin(), inside.end() - 1, [pressure](const Piece& candidate) {
        return pressure <= candidate.ring.high;
    });
    return value(*piece, pressure);
}

} // namespace valve::stack
