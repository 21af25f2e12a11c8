#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/goal_lines.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/detail/yaml.hpp>
#include <valve/setup/goal.hpp>

#include <fmt/format.h>

#include <array>
#include <filesystem>
#include <memory>
#include <utility>

namespace valve::setup {
namespace {

constexpr const char* goal_file = "a goal file";

using Given = std::optional<PlacedText>;

/// A value that is kept as text.
Key kept(const char* name, Given& target, const char* expected, const char* doc) {
    const auto read = [&target, expected](const Node& value, const std::string& path, Reader&) {
        target = PlacedText(value, path, expected);
    };
    return form(name, expected, read, doc);
}

struct Asked {
    Must must;
    const char* name;
    const char* expected;
    const char* doc;
};

constexpr std::array<Asked, 5> ways{{
    {Must::is, "is", "a value of the figure", "what the figure should be, give or take within"},
    {Must::at_least, "at_least", "a value of the figure", "what it should not be less than"},
    {Must::at_most, "at_most", "a value of the figure", "what it should not be more than"},
    {Must::change, "change", "a share or an amount with its sign, e.g. +10 % or -5 mm",
     "how it should differ from today"},
    {Must::keep, "keep", "a share or an amount, e.g. 2 %", "how far it may leave where it is today"},
}};

/// What one line of the file fills.
struct LineText {
    Given figure, speed, travel, frequency, event, within;
    std::array<Given, ways.size()> amounts;
};

Keys line_keys(LineText& text) {
    Keys keys{
        required(
            kept("figure", text.figure, "the name of a figure", "as compare --json names it, without unit")),
        kept("speed", text.speed, "a rod speed, e.g. 1 m/s",
             "that the figure belongs to, below 0 on rebound"),
        kept("travel", text.travel, "a part of the travel, e.g. 90 %", "that the figure belongs to"),
        kept("frequency", text.frequency, "a frequency, e.g. 4 Hz",
             "of the cycle that the figure belongs to"),
        kept("event", text.event, "a file name", "the event that a figure of a ride belongs to"),
    };
    for (std::size_t i = 0; i < ways.size(); ++i)
        keys.push_back(kept(ways.at(i).name, text.amounts.at(i), ways.at(i).expected, ways.at(i).doc));
    keys.push_back(kept("within", text.within, "a share or an amount, e.g. 2 %", "how near is near enough"));
    return keys;
}

GoalLine read_line(const Node& value, const std::string& path, Reader& reader, const std::string& file) {
    LineText text;
    reader.read(value, path, line_keys(text));
    std::optional<std::size_t> asked;
    for (std::size_t i = 0; i < ways.size(); ++i) {
        if (!text.amounts.at(i)) continue;
        if (asked) {
            fail(value.find(ways.at(i).name)->place, joined(path, ways.at(i).name),
                 "a line asks one thing of its figure", value.find(ways.at(*asked).name)->place,
                 joined(path, ways.at(*asked).name));
        }
        asked = i;
    }
    if (!asked)
        fail(value.place, path, "missing: what the figure must do: is, at_least, at_most, change or keep");
    const Must must = ways.at(*asked).must;
    if (text.within && must != Must::is && must != Must::change)
        text.within->refuse(fmt::format("belongs to is and change, not to {}", ways.at(*asked).name));
    GoalLine line;
    line.key = path;
    line.figure = *std::move(text.figure);
    line.speed = std::move(text.speed);
    line.travel = std::move(text.travel);
    line.frequency = std::move(text.frequency);
    line.event = std::move(text.event);
    if (line.event) line.event_path = file_origin().beside(file, line.event->text());
    line.must = must;
    line.amount = *std::move(text.amounts.at(*asked));
    line.within = std::move(text.within);
    return line;
}

} // namespace

std::vector<GoalLine> read_goal_lines(const Node& list, const std::string& path, Reader& reader,
                                      const std::string& file) {
    constexpr std::size_t most_lines = 200; // far above what anybody asks at once
    if (list.kind != Node::Kind::list || list.items.empty()) {
        fail(list.place, path,
             fmt::format("expected a list of lines, e.g. - {{figure: damping_force, speed: 3 m/s, change: "
                         "+10 %}}, but found {}",
                         list.kind == Node::Kind::list ? "an empty one" : described(list)));
    }
    if (list.items.size() > most_lines)
        fail(list.items[most_lines].place, path, fmt::format("more than {} lines", most_lines));
    std::vector<GoalLine> lines;
    for (std::size_t i = 0; i < list.items.size(); ++i)
        lines.push_back(read_line(list.items[i], fmt::format("{}[{}]", path, i + 1), reader, file));
    return lines;
}

std::function<Keys()> goal_line_reference_keys() {
    return [text = std::make_shared<LineText>()] { return line_keys(*text); };
}

namespace {

Goal goal_of(const Node& root, const std::string& path) {
    Goal goal;
    goal.path = path;
    std::string note;
    Reading reading; // for defaults and warnings, of which goals have none
    Reader(root, reading)
        .read(root, "",
              {format_key(), text("title", goal.title, "one line that names the goal"),
               text("note", note, "free text"), goal_key(goal)});
    if (goal.title.empty()) goal.title = std::filesystem::path(path).filename().string();
    return goal;
}

} // namespace

Key goal_key(Goal& goal) {
    const auto lines = [&goal](const Node& value, const std::string& at, Reader& reader) {
        goal.lines = read_goal_lines(value, at, reader, goal.path);
    };
    return required(form("goal", "list of lines", lines,
                         "a list of lines, each one figure and what it must do", goal_line_reference_keys()));
}

Goal Goal::load(const std::string& path) {
    return goal_of(root_of_file(path, goal_file), path);
}

Goal Goal::parse(const std::string& text, const std::string& name) {
    return goal_of(root_of_text(text, name, goal_file), name);
}

} // namespace valve::setup
