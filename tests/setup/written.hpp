#pragma once

#include <valve/setup/read.hpp>

#include <string>
#include <vector>

// An invented closed-cartridge fork as a file would have it: next to no float under four thick plates on its
// mid-valve, five shims on its base, and a hard reservoir that keeps it full.

namespace valve::samples {

inline const std::string& fork_text() {
    static const std::string text = R"(format: 1
title: an invented fork
oil: {density: 850 kg/m3, viscosity: {40 C: 16 mm2/s, 100 C: 3.9 mm2/s}}
damper:
  layout: closed_cartridge
  bore: 25 mm
  rod: 12 mm
  travel: 300 mm
  ring_leak: {gap: 0.02 mm, length: 8 mm}
reservoir: {kind: spring_piston, diameter: 36 mm, rate: 1.8 N/mm, preload: 1000 N, friction: 18 N, stroke: 45 mm}
valves:
  base.compression:
    ports: {count: 4, area: 13 mm2}
    zone: {inner: 11 mm, outer: 22 mm}
    seat: {inner: 22 mm, outer: 23 mm}
    clamp: 9 mm
    shims: [5 * 24 x 0.15]
    bleed: {needle: {seat: 2.5 mm, angle: 20 deg, per_click: 0.06 mm, clicks: 10, of: 24}}
  base.refill:
    ports: {count: 4, area: 24 mm2}
    zone: {inner: 11 mm, outer: 24 mm}
    seat: {inner: 24 mm, outer: 25 mm}
    clamp: 9 mm
    shims: [26 x 0.15]
  piston.compression:
    ports: {count: 3, area: 16 mm2}
    zone: {inner: 11 mm, outer: 19 mm}
    seat: {inner: 19 mm, outer: 20 mm}
    clamp: 9 mm
    float: {travel: 0.05 mm, rate: 1.2 N/mm, preload: 1 N}
    shims: [4 * 21 x 0.25]
  piston.rebound:
    ports: {count: 4, area: 11 mm2}
    zone: {inner: 11 mm, outer: 19 mm}
    seat: {inner: 19 mm, outer: 20 mm}
    clamp: 9 mm
    shims: [21 x 0.15]
    bleed: {needle: {seat: 2.5 mm, angle: 20 deg, per_click: 0.06 mm, clicks: 10, of: 24}}
support:
  spring: {rate: 4.8 N/mm, preload: 6 mm}
  leg: {chamber_volume: 1050 ml, oil: 365 ml, diameter: 50 mm}
  friction: 20 N
  legs: 2
  load: {sprung: 70 kg, rider: 90 kg, rider_share: 40 %, rake: 26 deg}
)";
    return text;
}

/// That fork with other values.
inline setup::Document fork_document(const std::vector<setup::Override>& overrides = {}) {
    return setup::Document::parse(fork_text(), "fork.yaml", {}, overrides);
}

} // namespace valve::samples
