#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/rigid_disc.hpp>
#include <valve/stack/quick_law.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <vector>

namespace valve::stack {
namespace {

constexpr plate::Grading coarse{.elements = 10};

constexpr double first_pressure = 2e3; // [Pa]
constexpr double pressure_ratio = 3.0;
constexpr double floated_ratio = 2.5; // float and stop change more
constexpr double closed = 1e-12;      // [m]

struct Point {
    double lift = 0.0; // [m]
    double rate = 0.0; // [m/Pa]
};
using Points = std::map<double, Point>;

class Quick {
public:
    Quick(const Stack& stack, const FollowOptions& options)
        : m_path(stack, options.theory, coarse), m_max_pressure(options.max_pressure) {}

    LiftLaw law() {
        if (!add(0.0)) throw SolveError("at rest: " + m_path.refusal());
        climb();
        if (m_points.size() < 3) throw SolveError(std::string(no_lift_curve) + m_path.refusal());
        const double crack = close_in_on_crack();
        refine(crack);
        LiftCurve curve;
        curve.theory = m_path.problem().theory();
        curve.load_area = m_path.problem().load_area();
        curve.crack_pressure = crack;
        for (const auto& [pressure, point] : m_points) {
            LiftPoint& made = curve.points.emplace_back();
            made.pressure = pressure;
            made.seat_lift = point.lift;
            made.rate_before = made.rate_after = point.rate;
        }
        return LiftLaw(curve);
    }

private:
    bool add(double pressure) {
        const State* state = m_path.at(pressure);
        if (state == nullptr) return false;
        m_points[pressure] = {std::max(0.0, m_path.seat_lift(*state)), m_path.lift_rate(*state)};
        return true;
    }

    void climb() {
        const double ratio = m_path.problem().stack().floating ? floated_ratio : pressure_ratio;
        double pressure = std::min(first_pressure, m_max_pressure);
        for (double reached = 0.0; add(pressure);) {
            reached = pressure;
            if (reached >= m_max_pressure) return;
            pressure = std::min(pressure * ratio, m_max_pressure);
        }
        // The end of what the theory bears, or near it.
        constexpr int halvings = 4;
        double low = m_points.rbegin()->first;
        double high = pressure;
        for (int i = 0; i < halvings; ++i) {
            const double middle = 0.5 * (low + high);
            (add(middle) ? low : high) = middle;
        }
    }

    /// The highest pressure known to be closed, not far below the lowest known to be open.
    double close_in_on_crack() {
        const auto first_open = [this] {
            return std::find_if(m_points.begin(), m_points.end(),
                                [](const auto& entry) { return entry.second.lift > closed; });
        };
        auto open = first_open();
        if (open == m_points.begin() || open == m_points.end()) return 0.0;
        constexpr int rounds = 6;
        constexpr double near = 0.01;
        for (int round = 0; round < rounds; ++round) {
            const double low = std::prev(open)->first;
            const double high = open->first;
            if (high - low < near * high) break;
            // From the open side the tangent nearly hits it; a little below it the bracket closes.
            const double foreseen = high - open->second.lift / std::max(open->second.rate, 1e-30);
            double next = foreseen - 0.5 * near * high;
            if (!(next > low)) next = low + 0.1 * (high - low);
            if (!(next < high)) next = 0.5 * (low + high);
            if (!add(next)) break;
            open = first_open();
        }
        return std::prev(open)->first;
    }

    /// Adds points where the secant of the lift is not what the rates at its ends foretell: on either side of
    /// where the tangents meet, as they do at a float's start and its stop, else half-way.
    void refine(double crack) {
        constexpr int rounds = 3;
        constexpr double agreement = 0.08;
        constexpr double kink = 3.0; // a rate by the other
        constexpr double narrow = 0.02;
        constexpr double smallest = 1e-7; // rise that matters [m]
        for (int round = 0; round < rounds; ++round) {
            std::vector<double> wanted;
            for (auto right = std::next(m_points.begin()); right != m_points.end(); ++right) {
                const auto [low, before] = *std::prev(right);
                const auto [high, after] = *right;
                const double rise = after.lift - before.lift;
                if (high <= crack || low < crack || high - low < narrow * high || rise < smallest) continue;
                const double foretold = 0.5 * (after.rate + before.rate) * (high - low);
                const auto [least, most] = std::minmax(before.rate, after.rate);
                if (std::abs(rise - foretold) <= agreement * rise && most < kink * least) continue;
                const double bend = after.rate - before.rate;
                const double meeting = low + (after.rate * (high - low) - rise) / bend;
                const double half = low > 0.0 ? std::sqrt(low * high) : 0.3 * high;
                const bool is_between = meeting > low * (1.0 + narrow) && meeting < high * (1.0 - narrow);
                if (is_between)
                    wanted.insert(wanted.end(),
                                  {meeting * (1.0 - 0.2 * narrow), meeting * (1.0 + 0.2 * narrow)});
                else
                    wanted.push_back(half);
            }
            if (wanted.empty()) return;
            for (const double pressure : wanted)
                add(pressure);
        }
    }

    Path m_path;
    double m_max_pressure;
    Points m_points;
};

} // namespace

LiftLaw quick_law(const Stack& stack, const FollowOptions& options) {
    if (stack.disc) return LiftLaw(follow_disc(stack, options));
    return Quick(stack, options).law();
}

} // namespace valve::stack
