#include "best_single.hpp"

#include <valve/core/error.hpp>
#include <valve/study/headline.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <optional>
#include <random>
#include <utility>

namespace valve::tests {

namespace {

using setup::Document;
using study::Figure;
using study::FigureRequest;
using study::Quantity;

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double top_speed = 4.0; // [m/s]

/// What the set-up is drawn with, and so what the loops start from.
struct Drawn {
    double coil = 0.0;         // [N/mm]
    double coil_preload = 0.0; // [N]
    double spring = 0.0;       // [N/mm]
    double level = 0.0;        // [mm]
    double friction = 0.0;     // [N]
    int clicks = 0;
    std::vector<std::pair<double, double>> shims; // outer x thickness [mm], from the face
};

std::string shims_text(const std::vector<std::pair<double, double>>& shims) {
    std::string text;
    for (const auto& [outer, thickness] : shims)
        text += fmt::format("{}{:g} x {:g}", text.empty() ? "[" : ", ", outer, thickness);
    return text + "]";
}

class Draw {
public:
    explicit Draw(std::uint64_t seed) : m_engine(seed) {}
    double between(double low, double high, double step) {
        const auto steps = static_cast<std::uint64_t>(std::llround((high - low) / step));
        return low + step * static_cast<double>(m_engine() % (steps + 1));
    }
    template <class T, std::size_t n>
    T one_of(const std::array<T, n>& list) {
        return list[m_engine() % n];
    }

private:
    std::mt19937_64 m_engine;
};

Drawn drawn_by(Draw& draw) {
    Drawn made;
    made.coil = draw.between(0.5, 25.0, 0.5);
    made.coil_preload = draw.between(0.5, 12.0, 0.5);
    made.spring = draw.between(4.0, 5.4, 0.1);
    made.level = draw.between(95.0, 135.0, 5.0);
    made.friction = draw.between(16.0, 28.0, 1.0);
    made.clicks = static_cast<int>(draw.between(6.0, 18.0, 1.0));
    made.shims.emplace_back(17.0, 0.1);
    double outer = 17.0;
    const int more = static_cast<int>(draw.between(1.0, 3.0, 1.0));
    for (int i = 0; i < more; ++i) {
        outer -= draw.between(0.0, 3.0, 1.0);
        made.shims.emplace_back(outer, draw.one_of(std::array{0.1, 0.15, 0.2}));
    }
    return made;
}

/// One change, by a whole number of steps; none where it cannot be written.
struct Change {
    std::string words;
    int least = 0;
    int most = 0;
    std::function<Document(const Document&, int steps)> made;
};

std::string in(double value, const char* unit) {
    return fmt::format("{:.6g} {}", value, unit);
}

/// The steps that lever.hpp states, written out once more, of what this set-up has.
std::vector<Change> changes(const Drawn& from) {
    std::vector<Change> list;
    const auto ratio_room = [](double ratio, double low, double high) {
        return std::pair{-static_cast<int>(std::floor(std::log(1.0 / low) / std::log(ratio) + 1e-6)),
                         static_cast<int>(std::floor(std::log(high) / std::log(ratio) + 1e-6))};
    };
    list.push_back({"clicks", -from.clicks, 24 - from.clicks, [from](const Document& document, int steps) {
                        return document.with("valves.base.compression.bleed.needle.clicks",
                                             fmt::format("{}", from.clicks + steps));
                    }});
    list.push_back({"level", -15, 15, [from](const Document& document, int steps) {
                        return document.with("support.leg.level.depth", in(from.level + 5.0 * steps, "mm"));
                    }});
    list.push_back({"spring", -static_cast<int>(0.5 * from.spring / 0.1 + 1e-6),
                    static_cast<int>(from.spring / 0.1 + 1e-6), [from](const Document& document, int steps) {
                        const double rate = from.spring + 0.1 * steps;
                        return document.with("support.spring.rate", in(rate, "N/mm"))
                            .with("support.spring.second.rate", in(5.6 * rate / from.spring, "N/mm"));
                    }});
    list.push_back({"preload", -5, 15, [](const Document& document, int steps) {
                        return document.with("support.spring.preload", in(5.0 + steps, "mm"));
                    }});
    const auto [rate_least, rate_most] = ratio_room(1.25, 0.01, 4.0);
    list.push_back({"coil", rate_least, rate_most, [from](const Document& document, int steps) {
                        const double by = std::pow(1.25, steps);
                        return document.with("valves.base.refill.float.rate", in(from.coil * by, "N/mm"))
                            .with("valves.base.refill.float.preload", in(from.coil_preload * by, "N"));
                    }});
    const auto [preload_least, preload_most] = ratio_room(1.25, 0.03, 4.0);
    list.push_back({"coil preload", preload_least, preload_most, [from](const Document& document, int steps) {
                        return document.with("valves.base.refill.float.preload",
                                             in(from.coil_preload * std::pow(1.25, steps), "N"));
                    }});
    const auto [friction_least, friction_most] = ratio_room(1.25, 0.4, 1.0);
    list.push_back({"friction", friction_least, friction_most, [from](const Document& document, int steps) {
                        const double by = std::pow(1.25, steps);
                        return document.with("support.friction", in(from.friction * by, "N"))
                            .with("support.breakaway", in(28.0 * by, "N"));
                    }});
    list.push_back(
        {"viscosity", -study::most_grades, study::most_grades, [](const Document& document, int steps) {
             const double by = std::pow(1.1, steps);
             return document.with(
                 "oil.viscosity",
                 fmt::format("{{40 C: {}, 100 C: {}}}", in(16.0 * by, "mm2/s"), in(3.9 * by, "mm2/s")));
         }});
    const auto with_shims = [&](const std::string& words, std::vector<std::pair<double, double>> shims) {
        list.push_back({words, 0, 1, [text = shims_text(shims)](const Document& document, int steps) {
                            return steps == 0 ? document
                                              : document.with("valves.base.compression.shims", text);
                        }});
    };
    for (std::size_t i = 0; i < from.shims.size(); ++i) {
        const std::string which = fmt::format("shim {}", i + 1);
        const auto at = static_cast<std::ptrdiff_t>(i);
        auto list_of = from.shims;
        list_of.insert(list_of.begin() + at, from.shims[i]);
        with_shims(which + " more", list_of);
        list_of = from.shims;
        list_of.erase(list_of.begin() + at);
        if (!list_of.empty()) with_shims(which + " fewer", list_of);
        for (const double by : {0.05, -0.05}) {
            list_of = from.shims;
            list_of[i].second += by;
            if (list_of[i].second > 0.099) with_shims(which + (by > 0.0 ? " thicker" : " thinner"), list_of);
        }
        list_of = from.shims;
        list_of[i].first -= 1.0;
        with_shims(which + " smaller", list_of);
    }
    return list;
}

/// What a line asks, from today's value, by hand.
struct Wanted {
    FigureRequest figure;
    double size = 1.0; ///< -1: of a force that is negative on rebound
    double low = -infinite;
    double high = infinite;
    double step = 1.0;
};

/// Weighs set-ups by the measure that advice states.
class Scales {
public:
    Scales(const AdviceCase& drawn, damper::LiftCache& lifts) : m_lifts(lifts), m_goal(drawn.asked()) {
        const setup::Reading as_is = setup::read(drawn.document());
        study::Evaluation of(as_is, {}, lifts);
        m_at.hit = of.hit();
        m_at.heavy_load = of.heavy_load();
        for (const study::GoalLine& line : m_goal.lines) {
            Wanted wanted{line.figure};
            const double value = study::number(study::evaluate(of, line.figure), top_speed);
            if (line.figure.quantity == Quantity::damping_force && value < 0.0) wanted.size = -1.0;
            const double today = wanted.size * value;
            const double amount = line.amount.is_share ? line.amount.value * today : line.amount.value;
            wanted.step = study::noticeable_step(line.figure.quantity, value);
            if (line.must == setup::Must::at_most) {
                wanted.high = amount;
            } else if (line.must == setup::Must::keep) {
                wanted.low = today - std::abs(amount);
                wanted.high = today + std::abs(amount);
            } else { // change
                const double within = std::abs(today) * line.within->value;
                wanted.low = today + amount - within;
                wanted.high = today + amount + within;
            }
            m_wanted.push_back(wanted);
        }
        const std::vector<FigureRequest> asked = m_goal.requests();
        for (const FigureRequest& request : study::headline_requests(study::parts_of({&as_is})))
            if (std::find(asked.begin(), asked.end(), request) == asked.end()) m_watched.push_back(request);
        for (const FigureRequest& request : m_watched)
            m_today.push_back(study::evaluate(of, request));
        m_shortfall = left(of);
    }

    double shortfall_today() const { return m_shortfall; }
    double reached(double left) const { return 1.0 - left / m_shortfall; }

    /// Noticeable steps to the goal over its lines; infinite where it cannot be built or solved.
    double left(const Document& document) const {
        try {
            const setup::Reading reading = setup::read(document);
            study::Evaluation of(reading, m_at, m_lifts);
            return left(of);
        } catch (const Error&) {
            return infinite;
        }
    }

    /// Noticeable steps of what is not asked for, but for gains, each quantity and stroke by its largest;
    /// none where a figure is no longer solved.
    std::optional<double> side(const Document& document) const {
        const setup::Reading reading = setup::read(document);
        study::Evaluation of(reading, m_at, m_lifts);
        std::map<std::pair<Quantity, bool>, double> largest;
        for (std::size_t i = 0; i < m_watched.size(); ++i) {
            if (!m_today[i].error.empty()) continue;
            const Figure figure = study::evaluate(of, m_watched[i]);
            if (!figure.error.empty()) return std::nullopt;
            const double before = study::number(m_today[i], top_speed);
            const double move = study::number(figure, top_speed) - before;
            if (move * study::better_way(figure.quantity) > 0.0) continue;
            double& most = largest[{figure.quantity, m_watched[i].speed.value_or(0.0) < 0.0}];
            most = std::max(most, std::abs(move) / study::noticeable_step(figure.quantity, before));
        }
        double sum = 0.0;
        for (const auto& [what, steps] : largest)
            sum += steps;
        return sum;
    }

private:
    double left(study::Evaluation& of) const {
        double sum = 0.0;
        for (const Wanted& wanted : m_wanted) {
            const Figure figure = study::evaluate(of, wanted.figure);
            if (!figure.error.empty()) return infinite;
            const double value = wanted.size * study::number(figure, top_speed);
            sum += std::max({0.0, wanted.low - value, value - wanted.high}) / wanted.step;
        }
        return sum;
    }

    damper::LiftCache& m_lifts;
    study::Goal m_goal;
    study::EvaluateOptions m_at;
    std::vector<Wanted> m_wanted;
    std::vector<FigureRequest> m_watched;
    std::vector<Figure> m_today;
    double m_shortfall = 0.0;
};

} // namespace

AdviceCase advice_case(std::uint64_t seed) {
    Draw draw(seed);
    const Drawn drawn = drawn_by(draw);
    AdviceCase made;
    made.overrides = {{"valves.base.refill.float.rate", in(drawn.coil, "N/mm")},
                      {"valves.base.refill.float.preload", in(drawn.coil_preload, "N")},
                      {"support.spring.rate", in(drawn.spring, "N/mm")},
                      {"support.leg.level.depth", in(drawn.level, "mm")},
                      {"support.friction", in(drawn.friction, "N")},
                      {"valves.base.compression.bleed.needle.clicks", fmt::format("{}", drawn.clicks)},
                      {"valves.base.compression.shims", shims_text(drawn.shims)}};
    made.only = {"valves.base.compression.bleed.needle.clicks",
                 "valves.base.compression.shims",
                 "valves.base.refill.float.rate",
                 "valves.base.refill.float.preload",
                 "support.leg.level",
                 "support.spring.rate",
                 "support.spring.preload",
                 "support.friction",
                 "oil.viscosity"};
    const double speed = draw.one_of(std::array{0.1, 0.3, 1.0, 2.0, 3.0, -0.3, -1.0});
    const double change = draw.one_of(std::array{-1.0, 1.0}) * draw.between(4.0, 24.0, 1.0);
    made.goal = fmt::format("  - {{figure: damping_force, speed: {} m/s, change: {:+} %, within: 2 %}}\n",
                            speed, change);
    switch (static_cast<int>(draw.between(0.0, 3.0, 1.0))) {
    case 0:
        made.goal += "  - {figure: refill_deficit, speed: -1 m/s, at_most: 0.1 bar}\n";
        break;
    case 1:
        made.goal += "  - {figure: support_force, travel: 90 %, change: +5 %, within: 1 %}\n";
        break;
    case 2:
        made.goal += fmt::format("  - {{figure: damping_force, speed: {} m/s, keep: 3 %}}\n",
                                 speed == 0.3 ? 2.0 : 0.3);
        break;
    default:
        break;
    }
    made.goal += "  - {figure: support_force, travel: 50 %, keep: 2 %}\n";
    return made;
}

Document AdviceCase::document() const {
    return Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/forest-fork.yaml", overrides);
}

study::Goal AdviceCase::asked() const {
    return study::resolve(setup::Goal::parse("format: 1\ngoal:\n" + goal, "goal.yaml"));
}

Brute brute_force(const AdviceCase& drawn, damper::LiftCache& lifts) {
    const Scales scales(drawn, lifts);
    const Document document = drawn.document();
    // What was drawn, read back from where it was written to.
    const auto number = [&](const char* key, double unit) {
        return document.get(key)->number.value() / unit;
    };
    Drawn from;
    from.coil = number("valves.base.refill.float.rate", 1e3);
    from.coil_preload = number("valves.base.refill.float.preload", 1.0);
    from.spring = number("support.spring.rate", 1e3);
    from.level = number("support.leg.level.depth", 1e-3);
    from.friction = number("support.friction", 1.0);
    from.clicks = static_cast<int>(std::lround(number("valves.base.compression.bleed.needle.clicks", 1.0)));
    const setup::Reading reading = setup::read(document);
    for (const stack::Shim& shim : reading.unit->valves[damper::Place::base_compression]->stack.shims)
        from.shims.emplace_back(2e3 * shim.outer_radius, 1e3 * shim.thickness);

    Brute best;
    for (const Change& change : changes(from)) {
        std::map<int, double> left_by_steps{{0, scales.shortfall_today()}};
        for (int steps = change.least; steps <= change.most; ++steps)
            if (steps != 0) {
                try {
                    left_by_steps[steps] = scales.left(change.made(document, steps));
                } catch (const Error&) { // the key does not allow it
                }
            }
        best.of_worth.tried += left_by_steps.size() - 1;
        double least = infinite;
        for (const auto& [steps, left] : left_by_steps)
            least = std::min(least, left);
        // The fewest steps of those that leave nothing, or within 1 % of the least where all leave something.
        const double enough = least > 0.0 ? least + 0.01 * scales.shortfall_today() : 0.0;
        int chosen = 0;
        for (const auto& [steps, left] : left_by_steps)
            if (left <= enough && (left_by_steps.at(chosen) > enough || std::abs(steps) < std::abs(chosen)))
                chosen = steps;
        if (chosen == 0) continue;
        const Document changed = change.made(document, chosen);
        const std::optional<double> side = scales.side(changed);
        if (!side) continue;
        const double reached = scales.reached(left_by_steps.at(chosen));
        const double worth = reached / std::max(1.0, *side);
        const std::string words = fmt::format("{} by {}: {:.4f} of the goal, {:.3f} steps aside",
                                              change.words, chosen, reached, *side);
        if (worth > best.of_worth.worth) {
            best.of_worth.words = words;
            best.of_worth.reached = reached;
            best.of_worth.worth = worth;
        }
        if (reached > best.of_reach.reached) {
            best.of_reach.words = words;
            best.of_reach.reached = reached;
            best.of_reach.worth = worth;
        }
    }
    return best;
}

Near best_near(const AdviceCase& drawn, const study::Suggestion& pair, int around, damper::LiftCache& lifts) {
    const Scales scales(drawn, lifts);
    const setup::Reading reading = setup::read(drawn.document());
    const std::vector<study::Lever> levers = study::levers(reading);
    Near best;
    const auto lever_of = [&](const study::Step& step) {
        return *std::find_if(levers.begin(), levers.end(), [&](const study::Lever& lever) {
            return lever.key == step.key && lever.shim.has_value() == step.shim.has_value() &&
                   (!lever.shim || lever.shim->shims == step.shim->shims);
        });
    };
    const study::Lever first = lever_of(pair.steps.at(0));
    const study::Lever second = lever_of(pair.steps.at(1));
    const auto range = [around](const study::Step& step, const study::Lever& lever) {
        return step.shim ? std::pair{1, 1}
                         : std::pair{std::max(lever.least, step.steps - around),
                                     std::min(lever.most, step.steps + around)};
    };
    const auto [a_least, a_most] = range(pair.steps[0], first);
    const auto [b_least, b_most] = range(pair.steps[1], second);
    for (int a = a_least; a <= a_most; ++a)
        for (int b = b_least; b <= b_most; ++b) {
            if (a == 0 || b == 0) continue;
            try {
                const Document document = second.edited(first.edited(drawn.document(), a), b);
                const double reached = scales.reached(scales.left(document));
                best.reached = std::max(best.reached, reached);
                ++best.tried;
                if (reached < pair.reached - 1e-9) continue;
                if (const std::optional<double> side = scales.side(document))
                    best.worth = std::max(best.worth, reached / std::max(1.0, *side));
            } catch (const Error&) { // it cannot be built so
            }
        }
    return best;
}

} // namespace valve::tests
