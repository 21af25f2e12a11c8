#pragma once

#include <valve/study/figure.hpp>

namespace valve::study {

/// What solving in full adds to a figure of a search that takes stacks for round, or coarse, or rides
/// quickly, on the set-up as it is; 0 where one of both has no value [SI].
inline double offset_of(const Figure& told, const Figure& searched) {
    return told.value && searched.value ? *told.value - *searched.value : 0.0;
}

/// A figure of such a search, set right by that of the set-up as it is. An onset that is then beyond
/// `top_speed` [m/s] is none.
inline Figure set_right(Figure searched, double offset, double top_speed) {
    if (!searched.value) return searched;
    *searched.value += offset;
    if (kind_of(searched.quantity).is_onset && *searched.value >= top_speed) searched.value.reset();
    return searched;
}

} // namespace valve::study
