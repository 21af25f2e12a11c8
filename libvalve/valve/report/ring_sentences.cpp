#include <valve/flow/opening.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/ring_sentences.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace valve::report {

namespace {

/// The last row whose lift is told at the ports, with the seat open.
const study::LiftRow* last_told(const study::LiftResult& result) {
    const auto found = std::find_if(result.rows.rbegin(), result.rows.rend(), [](const study::LiftRow& row) {
        return row.ring && row.ring->mean > 0.0;
    });
    return found != result.rows.rend() ? &*found : nullptr;
}

std::string percent(double share) {
    return fixed(100.0 * share, 0);
}

/// How uneven, and what the curtain makes of it.
std::string unevenness(const study::LiftResult& result) {
    const stack::RingCurve& ring = *result.ring;
    std::string text = fmt::format("Ports: {}.", port_pattern_words(result.valve.stack));
    if (ring.crack_mid_port)
        text += fmt::format(" At their middle (mid-port) the seat lets go at {} bar.",
                            fixed(*ring.crack_mid_port / 1e5, 3));
    const study::LiftRow* row = last_told(result);
    if (row == nullptr) return text;
    const stack::RingLift& lift = *row->ring;
    text += fmt::format(
        " At {} bar the shim lifts {} mm there and {} mm half-way between two (mid-land), {} % "
        "and {} % of the ring's mean; over the open arcs {} %.",
        bar(row->pressure), mm(lift.mid_port), mm(lift.mid_land), percent(lift.mid_port / lift.mean),
        percent(lift.mid_land / lift.mean), percent(lift.open_arcs / lift.mean));
    return text +
           (flow::opens_over_ports(result.valve)
                ? " The curtain is as high as over the open arcs, so this counts in full."
                : " The curtain is the whole ring at its mean lift, which the unevenness leaves as it is: "
                  "it moves flow to the ports and hardly changes how much.");
}

std::string lying_down(const study::LiftResult& result) {
    return fmt::format(
        "Up to {} bar mid-land comes out below the seat: there the shim in truth still lies on "
        "its land and opens over the ports alone, which is not followed.",
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
    return fmt::format(
        "From {} bar on the round shape is not stable: the rim is pressed together so much that it "
        "buckles into {} waves round the ring. The curve takes it for round; do not trust its lift "
        "and stress beyond. In truth it lifts more: a single shim by 40 % at twice that pressure, "
        "as solid models have it.",
        bar(result.waves->pressure), result.waves->count);
}

} // namespace

std::vector<std::string> ring_sentences(const study::LiftResult& result) {
    std::vector<std::string> sentences;
    if (result.ring) {
        sentences.push_back(unevenness(result));
        if (result.ring->lies_down_until) sentences.push_back(lying_down(result));
        if (result.ring->holds_until) sentences.push_back(end_of_harmonics(result));
    }
    if (result.waves) sentences.push_back(buckling(result));
    return sentences;
}

} // namespace valve::report
