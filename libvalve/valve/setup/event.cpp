#include <valve/motion/vehicle.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/event.hpp>
#include <valve/setup/measured_run.hpp>
#include <valve/setup/placed_text.hpp>

#include <fmt/format.h>

#include <filesystem>
#include <optional>
#include <utility>

namespace valve::setup {
namespace {

using motion::Event;
using motion::EventKind;

constexpr const char* event_file = "an event's file";

Keys event_keys(EventText& text) {
    Event& event = text.event;
    Names<EventKind> kinds;
    for (const EventKind kind : motion::all_event_kinds)
        kinds.emplace_back(motion::name(kind), kind);
    Names<char> classes;
    for (char letter = 'A'; letter <= 'H'; ++letter)
        classes.emplace_back(std::string(1, letter), letter);
    const std::vector<std::string> on_the_road{"square_edge", "bump", "bumps", "braking", "rough", "profile"};
    const std::vector<std::string> with_height{"square_edge", "bump", "bumps", "braking", "landing"};
    const std::vector<std::string> half_sines{"bump", "bumps", "braking"};
    const std::vector<std::string> rows{"bumps", "braking"};
    const std::vector<std::string> landing{"landing"};
    const std::vector<std::string> braking{"braking"};
    const std::vector<std::string> rough{"rough"};
    const std::vector<std::string> profile{"profile"};
    const auto named = [&text](const Node& value, const std::string& path, Reader&) {
        text.profile = PlacedText(value, path, "a file name");
    };
    const Range distances = from_to(0.0, 1e5); // [m]
    const Range lengths = above_to(0.0, 1e4);  // [m]
    return {
        required(choice("kind", event.kind, kinds, "what happens to the wheel")),
        only_for(on_the_road,
                 required(quantity("speed", event.speed, "m/s", above_to(0.0, 150.0), "along the ground"))),
        required(quantity("duration", event.duration, "s", above_to(0.0, 600.0), "of the run")),
        only_for(on_the_road, quantity("at", event.at, "m", distances,
                                       "where the first feature begins, the wheel starting over 0")),
        only_for(with_height,
                 required(usual(1.0, 3000.0, "heights of edges and bumps are in mm; is it?",
                                quantity("height", event.height, "mm", from_to(0.0, 20000.0),
                                         "of an edge or a bump; of a landing: dropped by both masses")))),
        only_for(half_sines,
                 required(quantity("length", event.length, "m", lengths, "of a bump, a half-sine"))),
        only_for(rows, required(quantity("pitch", event.pitch, "m", lengths, "from bump to bump"))),
        only_for(rows, required(count("count", event.count, 1, 10000, "of bumps"))),
        only_for(landing, quantity("slope", event.slope, "deg", from_to(0.0, 60.0),
                                   "of the ground landed on, falling away")),
        only_for(braking, required(quantity("load_transfer", event.load_transfer, "N", from_to(-1e5, 1e5),
                                            "on the sprung mass, downwards"))),
        only_for(braking, quantity("transfer_time", event.transfer_time, "s", above_to(0.0, 10.0),
                                   "in which it builds up from the start")),
        only_for(rough, choice("class", text.road_class, classes,
                               "of ISO 8608, the geometric mean of the class", "from roughness")),
        only_for(rough, quantity("roughness", text.roughness, "m3", above_to(0.0, 1.0),
                                 "displacement density at 0.1 cycles/m, in place of a class", "from class")),
        only_for(rough, count("seed", text.seed, 0, 1000000000, "of the phases; another makes another road")),
        only_for(profile, required(form("file", "a file name", named,
                                        "CSV of distance and height, beside this file"))),
        only_for(profile,
                 setup::text("columns", text.columns, "which columns hold what: distance=s[m],height=z[mm]")),
    };
}

/// The roughness of a road, from its class or as stated; a file gives one of the two.
void take_roughness(EventText& text, Reader& reader) {
    if (text.event.kind != EventKind::rough) return;
    if (text.road_class && text.roughness)
        reader.fail_at("event.class", "a road has a class or a roughness", "event.roughness");
    if (!text.road_class && !text.roughness)
        reader.fail_missing("event", "class", "A to H of ISO 8608, or roughness");
    text.event.roughness = text.roughness ? *text.roughness : motion::roughness_of_class(*text.road_class);
}

/// Reads the profile that an event names; the path of its file, or nothing.
std::string take_profile(EventText& text, const std::string& path, const Reader& reader) {
    if (text.event.kind != EventKind::profile) return {};
    const Origin files = file_origin();
    std::string file = files.beside(path, text.profile.value().text());
    if (const std::string fault = files.read(file).fault; !fault.empty())
        text.profile->refuse(fmt::format("{}: {}", file, fault));
    RoadProfile profile;
    try {
        profile = read_profile(file, text.columns);
    } catch (const ColumnsError& error) {
        reader.fail_at("event.columns", error.what());
    }
    text.event.distance = std::move(profile.distance);
    text.event.heights = std::move(profile.heights);
    return file;
}

EventFile file_of(const Node& root, const std::string& path) {
    EventText text;
    std::string note;
    Reading reading; // for defaults and warnings
    Reader reader(root, reading);
    reader.read(root, "",
                {format_key(), setup::text("title", text.event.title, "one line that names the event"),
                 setup::text("note", note, "free text"), event_key(text)});
    take_roughness(text, reader);
    std::string profile = take_profile(text, path, reader);
    text.event.seed = static_cast<std::uint64_t>(text.seed);
    reader.take(motion::check(text.event, motion::Tyre{}.radius), "event");
    if (text.event.title.empty()) text.event.title = std::filesystem::path(path).stem().string();
    return {path, std::move(text.event), std::move(reading.defaults), std::move(reading.warnings),
            std::move(profile)};
}

} // namespace

Key event_key(EventText& text) {
    return required(map("event", text, event_keys, "what happens to the wheel"));
}

EventFile EventFile::load(const std::string& path) {
    return file_of(root_of_file(path, event_file), path);
}

EventFile EventFile::parse(const std::string& text, const std::string& name) {
    return file_of(root_of_text(text, name, event_file), name);
}

} // namespace valve::setup
