#pragma once

#include <frame/recorder.hpp>

#include <string>
#include <vector>

namespace valve::validation::notes {

/// What was found about one detail: a table, and a sentence on whether the detail matters.
struct Note {
    std::string title;
    std::vector<std::string> lines = {};
    std::string verdict = {};
};

class Demo;

// What each note rests on goes to the recorder as checks.
Note thickness_note(Demo& demo, Recorder& recorder); ///< tolerance of the strip
Note land_note(Demo& demo, Recorder& recorder);      ///< width of the seat's land
Note notch_note(Demo& demo, Recorder& recorder);     ///< face shim with notches: bleed, missing metal
Note friction_note(Demo& demo, Recorder& recorder);  ///< between the shims
Note hub_note(Demo& demo, Recorder& recorder);       ///< clamp washer smaller than the hub's face
Note coverage_note(Demo& demo, Recorder& recorder);  ///< a recess that joins the ports, or none

} // namespace valve::validation::notes
