#pragma once

#include <valve/motion/event.hpp>
#include <valve/study/figure.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace valve::report {

/// What a wheel meets within its run.
struct MetOnTheWay {
    bool anything = false;
    std::size_t bumps = 0; ///< of a row
};

/// That a run ends before its event does, and before load transfer is whole, as sentences that begin small;
/// with `met` also how much of it the wheel meets.
std::vector<std::string> cut_off_words(const motion::Event& event,
                                       const std::optional<MetOnTheWay>& met = std::nullopt);

/// The same of every event that figures are asked over, as whole sentences, each event once: "Over Ledge: the
/// run ends …."
std::vector<std::string> cut_off_sentences(const std::vector<study::FigureRequest>& figures);
std::vector<std::string> cut_off_sentences(const std::vector<study::Figure>& figures);

} // namespace valve::report
