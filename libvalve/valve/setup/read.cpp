#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>

#include <fmt/format.h>

#include <filesystem>

namespace valve::setup {
namespace {

/// The title, or the file's name where none is given.
std::string title_of(const std::string& written, const Document& document, Reader& reader) {
    if (!written.empty()) return written;
    std::string file_name = std::filesystem::path(document.path()).filename().string();
    reader.assume("title", file_name);
    return file_name;
}

/// What rests on one motion ratio, sag and springs, takes the mean of a linkage.
void take_mean_ratio(UnitText& text, Reader& reader) {
    if (!text.vehicle || !text.vehicle->linkage || !text.setup.support || !text.setup.support->load) return;
    damper::Load& load = *text.setup.support->load;
    if (load.rake || load.motion_ratio) return;
    const motion::LinkageTable& table = *text.vehicle->linkage;
    load.motion_ratio = table.travel.back() / table.wheel_travel.back();
    reader.assume("support.load.motion_ratio", fmt::format("{:.4g}, the linkage's mean", *load.motion_ratio));
}

void read_unit(const Document& document, Reader& reader, Reading& reading) {
    UnitText text;
    reader.read(document.root(), "", unit_keys(text));
    reading.title = text.setup.title = title_of(text.setup.title, document, reader);
    reading.note = text.note;
    reading.result = text.result;
    take_mean_ratio(text, reader);
    reader.take(damper::check(text.setup), "");
    reading.unit = std::move(text.setup);
    reading.vehicle = std::move(text.vehicle);
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
