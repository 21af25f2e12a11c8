#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/root.hpp>
#include <valve/setup/search_part.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>
#include <limits>

namespace valve::setup {
namespace {

constexpr const char* part_file = "a part of a search";
constexpr int most = std::numeric_limits<int>::max();

double number(const Node& value, const std::string& path) {
    if (value.kind != Node::Kind::scalar)
        fail(value.place, path, fmt::format("expected a number, but found {}", described(value)));
    try {
        return parse_number(value.text);
    } catch (const InputError& error) {
        fail(value.place, path, error.what());
    }
}

int whole(const Node& value, const std::string& path) {
    const double read = number(value, path);
    if (read != std::floor(read) || read < 0.0 || read > 1e9)
        fail(value.place, path, fmt::format("'{}' is no number from 0 up", value.text));
    return static_cast<int>(read);
}

const std::vector<Node>& items(const Node& value, const std::string& path) {
    if (value.kind != Node::Kind::list)
        fail(value.place, path, fmt::format("expected a list, but found {}", described(value)));
    return value.items;
}

std::vector<int> wholes(const Node& value, const std::string& path) {
    std::vector<int> list;
    for (const Node& item : items(value, path))
        list.push_back(whole(item, path));
    return list;
}

Key value(const char* name, double& target, const char* doc) {
    const auto read = [&target](const Node& node, const std::string& path, Reader&) {
        target = number(node, path);
    };
    return required(form(name, "number", read, doc));
}

Key yes_or_no(const char* name, bool& target, const char* doc) {
    return required(choice<bool>(name, target, {{"no", false}, {"yes", true}}, doc));
}

SearchPartFile::Candidate read_candidate(const Node& node, const std::string& path, Reader& reader) {
    SearchPartFile::Candidate made;
    const auto stacks = [&made](const Node& list, const std::string& at, Reader&) {
        for (const Node& stack : items(list, at))
            made.stacks.push_back(wholes(stack, at));
    };
    const auto fittings = [&made](const Node& list, const std::string& at, Reader&) {
        made.fittings = wholes(list, at);
    };
    reader.read(node, path,
                {required(form("stacks", "list of lists", stacks, "of each valve its shims")),
                 required(form("fittings", "list", fittings, "of each valve its sleeve, coil and turns")),
                 required(count("setting", made.setting, 0, most, "of needles and spring")),
                 value("error", made.error, "goal error"),
                 required(count("changed", made.changed, 0, most, "shims changed"))});
    return made;
}

Keys part_keys(SearchPartFile& file) {
    const auto best = [&file](const Node& list, const std::string& at, Reader& reader) {
        for (std::size_t i = 0; i < items(list, at).size(); ++i)
            file.best.push_back(read_candidate(list.items[i], fmt::format("{}[{}]", at, i + 1), reader));
    };
    return {
        required(count("part", file.part, 1, most, "which part this is")),
        required(count("of", file.of, 1, most, "how many parts there are")),
        required(text("question", file.question, "which search it is a part of")),
        value("candidates", file.candidates, "ways to build"),
        yes_or_no("exhaustive", file.exhaustive, "whether the parts look at all of them"),
        required(count("screened", file.screened, 0, most, "how many this part has screened")),
        required(count("sampled", file.sampled, 0, most, "how many of these were drawn at random")),
        yes_or_no("interrupted", file.is_interrupted, "whether it was ended early"),
        yes_or_no("more", file.has_more, "whether more could be built than are listed"),
        required(form("best", "list", best, "the best that were screened")),
    };
}

SearchPartFile part_of(const Node& root) {
    SearchPartFile file;
    const auto part = [&file](const Node& node, const std::string& at, Reader& reader) {
        reader.read(node, at, part_keys(file));
    };
    Reading reading; // for defaults and warnings, of which there are none
    Reader(root, reading)
        .read(root, "",
              {format_key(), required(form("search_part", "map", part, "what valve search --shard writes"))});
    return file;
}

} // namespace

SearchPartFile SearchPartFile::load(const std::string& path) {
    return part_of(root_of_file(path, part_file));
}

SearchPartFile SearchPartFile::parse(const std::string& text, const std::string& name) {
    return part_of(root_of_text(text, name, part_file));
}

std::string SearchPartFile::text() const {
    const auto word = [](bool holds) { return holds ? "yes" : "no"; };
    std::string text =
        fmt::format("# A part of a search: what valve search --shard has screened, for --merge.\n"
                    "format: 1\nsearch_part:\n  part: {}\n  of: {}\n  question: \"{}\"\n"
                    "  candidates: {}\n  exhaustive: {}\n  screened: {}\n  sampled: {}\n"
                    "  interrupted: {}\n  more: {}\n  best:",
                    part, of, question, candidates, word(exhaustive), screened, sampled, word(is_interrupted),
                    word(has_more));
    if (best.empty()) return text + " []\n";
    text += '\n';
    for (const Candidate& one : best) {
        std::vector<std::string> stacks;
        for (const std::vector<int>& stack : one.stacks)
            stacks.push_back(fmt::format("[{}]", fmt::join(stack, ", ")));
        text += fmt::format("    - {{stacks: [{}], fittings: [{}], setting: {}, error: {}, changed: {}}}\n",
                            fmt::join(stacks, ", "), fmt::join(one.fittings, ", "), one.setting, one.error,
                            one.changed);
    }
    return text;
}

} // namespace valve::setup
