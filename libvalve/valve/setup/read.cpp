#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>

#include <filesystem>
#include <string_view>
#include <utility>

namespace valve::setup {
namespace {

/// The title, or the file's name where none is given.
std::string title_of(const std::string& written, const Document& document, Reader& reader) {
    if (!written.empty()) return written;
    std::string file_name = std::filesystem::path(document.path()).filename().string();
    reader.assume("title", file_name);
    return file_name;
}

/// What cannot be solved, and what is unlikely. The linkage is the load's, but its key the vehicle's.
Findings findings_of(const damper::SetUp& setup) {
    constexpr std::string_view member = "support.load.linkage";
    Findings findings = damper::check(setup);
    for (Finding& finding : findings)
        if (finding.key.starts_with(member)) finding.key.replace(0, member.size(), "vehicle.linkage");
    return findings;
}

void read_unit(const Document& document, Reader& reader, Reading& reading) {
    UnitText text;
    reader.read(document.root(), "", unit_keys(text));
    reading.title = text.setup.title = title_of(text.setup.title, document, reader);
    reading.note = text.note;
    reading.result = text.result;
    if (text.vehicle && text.setup.support && text.setup.support->load)
        text.setup.support->load->linkage = std::move(text.vehicle->linkage);
    reader.take(findings_of(text.setup), "");
    reading.unit = std::move(text.setup);
    if (text.vehicle) reading.vehicle = text.vehicle->known;
}

void read_lone_valve(const Document& document, Reader& reader, Reading& reading) {
    for (const char* key : {"damper", "reservoir", "valves", "support", "vehicle"}) {
        if (document.root().find(key) != nullptr) {
            reader.fail_at(
                "valve", "a file holds one valve alone, or a whole unit with its valves under valves:", key);
        }
    }
    LoneValveText text;
    reader.read(document.root(), "", lone_valve_keys(text));
    reading.title = title_of(text.title, document, reader);
    reading.note = text.note;
    reading.result = text.result;
    if (text.oil) reader.take(flow::check(*text.oil), "oil");
    const bool has_ports = text.valve.ports.count > 0;
    reader.take(has_ports ? flow::check(text.valve) : stack::check(text.valve.stack), "valve");
    reading.oil = std::move(text.oil);
    reading.valve = std::move(text.valve);
}

} // namespace

Reading read(const Document& document) {
    Reading reading;
    reading.written = document;
    Reader reader(document.root(), reading);
    if (document.root().find("valve") != nullptr) {
        read_lone_valve(document, reader, reading);
    } else {
        read_unit(document, reader, reading);
    }
    return reading;
}

} // namespace valve::setup
