#pragma once

#include <valve/motion/event.hpp>

#include <memory>
#include <string>
#include <vector>

namespace valve::study {

/// An event with the file that it is from.
struct NamedEvent {
    std::string file;
    motion::Event event;
    std::vector<std::string> warnings = {}; ///< of the file, whole messages
    std::string profile = {};               ///< the file of heights that it names; empty: none
};

/// The event that a figure of a ride is asked on, or none. Copies share it; two that say the same are equal.
class RideEvent {
public:
    RideEvent() = default;
    explicit RideEvent(NamedEvent event);

    /// Reads the file at `path`. Throws as setup::EventFile::load().
    static RideEvent load(const std::string& path);

    explicit operator bool() const { return m_event != nullptr; }
    const NamedEvent& operator*() const { return *m_event; }
    const NamedEvent* operator->() const { return m_event.get(); }

    bool operator==(const RideEvent& other) const;

private:
    std::shared_ptr<const NamedEvent> m_event;
};

} // namespace valve::study
