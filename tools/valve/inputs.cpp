#include "inputs.hpp"

#include <valve/setup/document.hpp>

namespace program {

void Inputs::add(const valve::study::Goal& goal) {
    others.push_back(goal.path);
    others.insert(others.end(), goal.unused_events.begin(), goal.unused_events.end());
    const std::vector<valve::study::RideEvent> ridden = goal.events();
    events.insert(events.end(), ridden.begin(), ridden.end());
}

std::vector<std::string> files_read(const Inputs& inputs) {
    std::vector<std::string> files = inputs.others;
    for (const std::string& setup : inputs.setups) {
        const valve::setup::Document document = valve::setup::Document::load(setup);
        files.insert(files.end(), document.chain().begin(), document.chain().end());
    }
    for (const valve::study::RideEvent& event : inputs.events) {
        files.push_back(event->file);
        if (!event->profile.empty()) files.push_back(event->profile);
    }
    return files;
}

} // namespace program
