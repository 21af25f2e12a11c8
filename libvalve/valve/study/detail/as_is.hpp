#pragma once

#include <valve/study/advise.hpp>
#include <valve/study/evaluation.hpp>

#include <algorithm>
#include <vector>

namespace valve::study {

/// Figures of a set-up as it is, each solved once for all that is asked about it: of one document, one
/// position and one LiftCache, by one thread.
class AsIs {
public:
    /// A figure as the answer tells it, stacks as they bend.
    Figure told(Evaluation& of, const FigureRequest& request) { return known(m_told, of, request); }

    /// A figure as the search for changes takes it, stacks round.
    Figure searched(Evaluation& of, const FigureRequest& request) { return known(m_searched, of, request); }

private:
    struct Known {
        double top_speed = 0.0; // a goal may ask for a faster one
        Figure figure;
    };

    static Figure known(std::vector<Known>& list, Evaluation& of, const FigureRequest& request) {
        const double top_speed = of.options().top_speed;
        const auto found = std::find_if(list.begin(), list.end(), [&](const Known& one) {
            return one.top_speed == top_speed && one.figure.request() == request;
        });
        if (found != list.end()) return found->figure;
        list.push_back({top_speed, evaluate(of, request)});
        return list.back().figure;
    }

    std::vector<Known> m_told;
    std::vector<Known> m_searched;
};

/// As advise(), for one of several questions about a set-up.
Advice advise(const setup::Document& document, const Goal& goal, const AdviseOptions& options,
              damper::LiftCache& lifts, AsIs& as_is);

} // namespace valve::study
