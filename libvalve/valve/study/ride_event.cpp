#include <valve/setup/event.hpp>
#include <valve/study/ride_event.hpp>

#include <utility>

namespace valve::study {

RideEvent::RideEvent(NamedEvent event) : m_event(std::make_shared<const NamedEvent>(std::move(event))) {}

RideEvent RideEvent::load(const std::string& path) {
    setup::EventFile read = setup::EventFile::load(path);
    return RideEvent({path, std::move(read.event), std::move(read.warnings), std::move(read.profile)});
}

bool RideEvent::operator==(const RideEvent& other) const {
    if (m_event == other.m_event) return true;
    return m_event && other.m_event && m_event->file == other.m_event->file &&
           m_event->event == other.m_event->event;
}

} // namespace valve::study
