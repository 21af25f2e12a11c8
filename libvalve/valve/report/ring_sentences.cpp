#include <valve/flow/opening.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/ring_sentences.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <utility>

namespace valve::report {

namespace {

/// Where lift is told at the ports, at one pressure.
struct AtPorts {
    double pressure, mean, mid_port, mid_land, open_arcs;
};

/// Of the last row that tells it with the seat open.
std::optional<AtPorts> last_told(const study::LiftResult& result) {
    for (auto row = result.rows.rbegin(); row != result.rows.rend(); ++row) {
        std::optional<AtPorts> found;
        if (row->uneven)
            found = {row->pressure, row->uneven->state.seat_lift, row->uneven->mid_port,
                     row->uneven->mid_land, row->uneven->open_arcs};
        else if (row->ring)
            found = {row->pressure, row->ring->mean, row->ring->mid_port, row->ring->mid_land,
                     row->ring->open_arcs};
        if (found && found->mean > 0.0) return found;
    }
    return std::nullopt;
}

/// How uneven, and what the curtain makes of it.
std::string unevenness(const study::LiftResult& result) {
    const bool bent = result.uneven_crack.has_value();
    const std::optional<double> crack = bent ? result.uneven_crack->mid_port : result.ring->crack_mid_port;
    std::string text = fmt::format("Ports: {}.", port_pattern_words(result.valve.stack));
    if (crack)
        text +=
            fmt::format(" At their middle (mid-port) the seat lets go at {} bar.", fixed(*crack / 1e5, 3));
    const std::optional<AtPorts> lift = last_told(result);
    if (!lift) return text;
    text += fmt::format(
        " At {} bar the shim lifts {} mm there and {} mm half-way between two (mid-land), {} % "
        "and {} % of the ring's mean; over the open arcs {} %.",
        bar(lift->pressure), mm(lift->mid_port), mm(lift->mid_land), percent(lift->mid_port / lift->mean),
        percent(lift->mid_land / lift->mean), percent(lift->open_arcs / lift->mean));
    if (bent && result.uneven_crack->mid_land && *result.uneven_crack->mid_land > crack.value_or(0.0))
        text += fmt::format(" Up to {} bar it lies on its land at mid-land.",
                            fixed(*result.uneven_crack->mid_land / 1e5, 3));
    if (flow::opens_over_ports(result.valve))
        return text + " The curtain is as high as over the open arcs, so this counts in full.";
    if (bent) return text + " The curtain is the whole ring at its mean lift.";
    return text + " The curtain is the whole ring at its mean lift, which the unevenness leaves as it is: "
                  "it moves flow to the ports and hardly changes how much.";
}

/// How far the round shape is from the one that is told here.
std::string as_it_bends(const study::LiftResult& result) {
    for (auto row = result.rows.rbegin(); row != result.rows.rend(); ++row)
        if (row->uneven && row->round_lift && *row->round_lift > 0.0)
            return fmt::format("Lift, forces and stress are those of the stack as it bends round the ring: "
                               "at {} bar its mean "
                               "lift is {} % of the round shape's, {} mm.",
                               bar(row->pressure), percent(row->uneven->state.seat_lift / *row->round_lift),
                               mm(*row->round_lift));
    return "";
}

std::string lying_down(const study::LiftResult& result) {
    return fmt::format(
        "Up to {} bar mid-land comes out below the seat: there the shim in truth still lies on "
        "its land and opens over the ports alone, which the round shape does not follow.",
        bar(*result.ring->lies_down_until));
}

std::string end_of_harmonics(const study::LiftResult& result) {
    return fmt::format(
        "Beyond {} bar the waves that the ports bend into the stack would be higher than {:.1f} of "
        "its thinnest shim, and no longer follow the linear harmonics. No lift at a port is given "
        "there, and the ring's mean is too low.",
        bar(*result.ring->holds_until), stack::RingLift::most_waviness);
}

std::string buckling(const study::LiftResult& result) {
    const bool over_ports = result.valve.stack.windows > 0;
    std::string text = fmt::format(
        "From {} bar on the round shape is not stable: the rim is pressed together so much that it "
        "buckles into {} waves round the ring.",
        bar(result.waves->pressure), result.waves->count);
    if (result.shape == stack::Shape::round)
        return text +
               " The rows take it for round; do not trust their lift and stress beyond. In truth it lifts "
               "more: a single shim by half at 2.5 times that pressure.";
    if (over_ports && result.waves->count % result.valve.stack.windows != 0)
        return text +
               " The rows follow the pattern of the ports, which those waves do not fit; beyond, the mean "
               "may be more than told.";
    return text;
}

/// Which other number of waves is likelier, or that none is.
std::string other_waves(const study::LiftResult& result) {
    if (!result.wave_branches) return "";
    const std::vector<stack::WaveBranch>& branches = *result.wave_branches;
    if (branches.empty())
        return result.valve.stack.windows > 0
                   ? "Over windows no other number of waves is looked for."
                   : "No row is in waves, so there is no other number of waves to tell.";
    const stack::WaveBranch& told = branches.front();
    const stack::WaveBranch& most =
        *std::max_element(branches.begin(), branches.end(),
                          [](const auto& a, const auto& b) { return a.released < b.released; });
    const std::string place = fmt::format("At {} bar", bar(told.lift.state.pressure));
    if (branches.size() == 1) return place + " neither a wave more nor a wave less could stand.";
    if (most.waves.count == told.waves.count) {
        std::string others = fmt::format("{}", branches[1].waves.count);
        if (branches.size() > 2) others += fmt::format(" or {}", branches[2].waves.count);
        return fmt::format("{} {} waves could stand as well, but would have released less energy.", place,
                           others);
    }
    return fmt::format(
        "{} {} waves (from {} bar on) have released {} % more energy than the {} told here, "
        "so that it may be found in those: mean lift {} mm in place of {} mm, crest {} mm in place of {} mm.",
        place, most.waves.count, bar(most.waves.pressure),
        fixed(100.0 * (most.released / told.released - 1.0), 1), told.waves.count,
        mm(most.lift.state.seat_lift), mm(told.lift.state.seat_lift), mm(most.lift.crest),
        mm(told.lift.crest));
}

} // namespace

std::vector<std::string> ring_sentences(const study::LiftResult& result) {
    std::vector<std::string> sentences;
    if (result.ring) {
        sentences.push_back(unevenness(result));
        if (!result.uneven_crack) {
            if (result.ring->lies_down_until) sentences.push_back(lying_down(result));
            if (result.ring->holds_until) sentences.push_back(end_of_harmonics(result));
        }
    }
    if (result.waves) sentences.push_back(buckling(result));
    if (std::string words = other_waves(result); !words.empty()) sentences.push_back(std::move(words));
    if (std::string words = as_it_bends(result); !words.empty()) sentences.push_back(std::move(words));
    return sentences;
}

} // namespace valve::report
