#include <valve/core/text.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/goal_lines.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/rider_words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <iterator>
#include <map>
#include <memory>
#include <system_error>
#include <utility>

namespace valve::setup {
namespace {

constexpr const char* words_file = "a words file";

/// Capitals and blanks do not count.
std::string plain(std::string_view phrase) {
    std::string text;
    for (const char c : trimmed(phrase)) {
        const auto byte = static_cast<unsigned char>(c);
        const bool is_blank = std::isspace(byte) != 0;
        if (is_blank && (text.empty() || text.back() == ' ')) continue;
        text += is_blank ? ' ' : static_cast<char>(std::tolower(byte));
    }
    return text;
}

using Places = std::map<std::string, std::pair<Place, std::string>>; // of phrases, with their keys

void read_phrase(const Node& value, const std::string& path, RiderSaying& saying, Places& known) {
    const PlacedText phrase(value, path, "what a rider says, e.g. dives");
    if (value.text.find_first_of(",;.") != std::string::npos)
        phrase.refuse(
            fmt::format("{} holds a comma, semicolon or full stop, which part one phrase from the next",
                        in_quotes(value.text)));
    const auto [found, is_new] = known.emplace(plain(value.text), std::pair(value.place, path));
    if (!is_new)
        fail(value.place, path, fmt::format("{} stands here twice", in_quotes(value.text)),
             found->second.first, found->second.second);
    saying.said.push_back(plain(value.text));
}

void read_said(const Node& value, const std::string& path, RiderSaying& saying, Places& known) {
    if (value.kind != Node::Kind::list) {
        read_phrase(value, path, saying, known);
        return;
    }
    if (value.items.empty()) fail(value.place, path, "expected what a rider says, but found an empty list");
    for (std::size_t i = 0; i < value.items.size(); ++i)
        read_phrase(value.items[i], fmt::format("{}[{}]", path, i + 1), saying, known);
}

/// One saying as it is read, with what it needs of the rest of its file.
struct SayingText {
    RiderSaying saying;
    std::string file;
    Places* known = nullptr;
};

Keys saying_keys(SayingText& text) {
    const auto said = [&text](const Node& node, const std::string& at, Reader&) {
        read_said(node, at, text.saying, *text.known);
    };
    const auto lines = [&text](const Node& node, const std::string& at, Reader& reader) {
        text.saying.lines = read_goal_lines(node, at, reader, text.file);
    };
    const auto ridden = [&text](const Node& node, const std::string& at, Reader& reader) {
        text.saying.on_events = read_goal_lines(node, at, reader, text.file);
    };
    return {
        required(
            form("said", "phrases", said, "a phrase of the rider, or a list of those that mean the same")),
        setup::text("means", text.saying.means, "in words of the workshop"),
        required(form("goal", "list of lines", lines, "what is asked by it, lines as in a goal file")),
        form("on_events", "list of lines", ridden, "what is asked in place of it where the event is ridden"),
    };
}

RiderSaying read_saying(const Node& value, const std::string& path, Reader& reader, const std::string& file,
                        Places& known) {
    SayingText text{{}, file, &known};
    reader.read(value, path, saying_keys(text));
    for (const GoalLine& line : text.saying.on_events)
        if (!line.event) line.figure.refuse("over which event? A line of on_events names one");
    return std::move(text.saying);
}

bool is_over(const GoalLine& line, const std::string& event) {
    namespace fs = std::filesystem;
    std::error_code ignored;
    return fs::weakly_canonical(event, ignored) == fs::weakly_canonical(line.event_path, ignored);
}

/// What a saying asks where `events` are ridden.
std::vector<GoalLine> asked_by(const RiderSaying& saying, const std::vector<std::string>& events) {
    const auto is_ridden = [&](const GoalLine& line) {
        return std::any_of(events.begin(), events.end(),
                           [&](const std::string& event) { return is_over(line, event); });
    };
    std::vector<GoalLine> lines;
    std::copy_if(saying.on_events.begin(), saying.on_events.end(), std::back_inserter(lines), is_ridden);
    return lines.empty() ? saying.lines : lines;
}

RiderWords words_of(const Node& root, const std::string& path) {
    RiderWords words;
    words.path = path;
    std::string note;
    Reading reading; // for defaults and warnings, of which such a table has none
    Reader(root, reading)
        .read(root, "",
              {format_key(), text("title", words.title, "one line that names the table"),
               text("note", note, "free text"), words_key(words)});
    if (words.title.empty()) words.title = std::filesystem::path(path).filename().string();
    return words;
}

} // namespace

Key words_key(RiderWords& words) {
    const auto sayings = [&words](const Node& list, const std::string& at, Reader& reader) {
        if (list.kind != Node::Kind::list || list.items.empty())
            fail(list.place, at,
                 fmt::format("expected a list of sayings, e.g. - {{said: dives, goal: [...]}}, but found {}",
                             list.kind == Node::Kind::list ? "an empty one" : described(list)));
        Places known;
        for (std::size_t i = 0; i < list.items.size(); ++i)
            words.sayings.push_back(
                read_saying(list.items[i], fmt::format("{}[{}]", at, i + 1), reader, words.path, known));
    };
    const auto reference = [text = std::make_shared<SayingText>()] { return saying_keys(*text); };
    return required(
        form("words", "list of sayings", sayings, "what riders say, and what they ask by it", reference));
}

RiderWords RiderWords::load(const std::string& path) {
    return words_of(root_of_file(path, words_file), path);
}

RiderWords RiderWords::parse(const std::string& text, const std::string& name) {
    return words_of(root_of_text(text, name, words_file), name);
}

Heard heard(std::string_view said, const RiderWords& words, const std::vector<std::string>& events) {
    Heard result;
    result.goal.path = words.path;
    result.goal.title = std::string(trimmed(said));
    std::vector<std::string> phrases;
    for (const RiderSaying& saying : words.sayings)
        phrases.insert(phrases.end(), saying.said.begin(), saying.said.end());
    std::string_view rest = said;
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find_first_of(",;."), rest.size());
        const std::string phrase = plain(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
        if (phrase.empty()) continue;
        const auto saying =
            std::find_if(words.sayings.begin(), words.sayings.end(), [&](const RiderSaying& one) {
                return std::find(one.said.begin(), one.said.end(), phrase) != one.said.end();
            });
        if (saying == words.sayings.end()) {
            result.unknown.push_back(phrase);
            result.hints.push_back(did_you_mean(phrase, phrases));
            continue;
        }
        result.means.push_back(saying->means.empty() ? phrase : saying->means);
        std::vector<GoalLine> lines = asked_by(*saying, events);
        for (GoalLine& line : lines)
            line.is_said = true;
        result.goal.lines.insert(result.goal.lines.end(), lines.begin(), lines.end());
    }
    const std::vector<GoalLine>& asked = result.goal.lines;
    std::copy_if(events.begin(), events.end(), std::back_inserter(result.goal.unused_events),
                 [&](const std::string& event) {
                     return std::none_of(asked.begin(), asked.end(),
                                         [&](const GoalLine& line) { return is_over(line, event); });
                 });
    return result;
}

} // namespace valve::setup
