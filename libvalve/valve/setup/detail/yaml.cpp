#include <valve/core/text.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <map>
#include <optional>
#include <sstream>
#include <utility>

namespace valve::setup {
namespace {

/// The place of byte `offset` of the source's text.
Place place_at(const std::shared_ptr<const Source>& source, std::size_t offset) {
    const std::string_view before = std::string_view(source->text).substr(0, offset);
    const auto line_start = before.rfind('\n') == std::string_view::npos ? 0 : before.rfind('\n') + 1;
    const auto line = 1 + static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n'));
    return {source, line, 1 + character_count(before.substr(line_start))};
}

void check_text(const std::shared_ptr<const Source>& source) {
    const std::string_view text = source->text;
    for (std::size_t i = 0; i < text.size();) {
        if (text[i] == '\0') fail(place_at(source, i), "", "a NUL byte: this is not a text file");
        const std::size_t length = utf8_length(text.substr(i));
        if (length == 0) {
            fail(place_at(source, i), "",
                 fmt::format("byte 0x{:02X} is not UTF-8: save the file as UTF-8",
                             static_cast<unsigned>(static_cast<unsigned char>(text[i]))));
        }
        i += length;
    }
}

constexpr std::string_view no_alias = "an alias (*name) is not supported: write the value out";

/// Builds the tree from the parser's events.
class TreeBuilder : public YAML::EventHandler {
public:
    explicit TreeBuilder(std::shared_ptr<const Source> source) : m_source(std::move(source)) {
        // Lines found once, so that a place costs no scan of the text.
        m_line_starts.push_back(0);
        for (std::size_t i = 0; i < m_source->text.size(); ++i) {
            if (m_source->text[i] == '\n') m_line_starts.push_back(i + 1);
        }
    }

    Node root() && { return std::move(m_root); }

    /// Byte after the last scalar or bracket that the parser reported, a lower bound for quoted scalars.
    std::size_t reported() const { return m_reported; }

    /// Where the innermost list or map begins that has not ended.
    Place innermost() const { return m_open.empty() ? Place{m_source, 1, 1} : m_open.back().node.place; }

    /// Byte where a line begins, counted from 1.
    std::size_t line_start(std::size_t line) const { return m_line_starts[line - 1]; }

    Place place(const YAML::Mark& mark) const {
        const auto line =
            std::min(static_cast<std::size_t>(std::max(mark.line, 0)), m_line_starts.size() - 1);
        return {m_source, line + 1,
                1 + characters_before(line, static_cast<std::size_t>(std::max(mark.column, 0)))};
    }

    void OnDocumentStart(const YAML::Mark& mark) override {
        if (m_has_document) fail(place(mark), "", "a second document: a file holds one set-up");
        m_has_document = true;
    }
    void OnDocumentEnd() override {}

    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        refuse_anchor(mark, anchor);
        add(leaf(mark, Node::Kind::null, ""));
    }

    void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override { fail(place(mark), "", no_alias); }

    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        refuse_anchor(mark, anchor);
        refuse_tag(mark, tag);
        m_reported = offset(mark) + value.size();
        if (expects_key()) {
            take_key(mark, value);
            return;
        }
        Node node = leaf(mark, Node::Kind::scalar, value);
        node.quoted = tag == "!";
        add(std::move(node));
    }

    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value) override {
        open(mark, tag, anchor, Node::Kind::list);
    }
    void OnSequenceEnd() override { close(); }

    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value) override {
        open(mark, tag, anchor, Node::Kind::map);
    }
    void OnMapEnd() override { close(); }

private:
    /// A list or map whose end has not come yet.
    struct Open {
        Node node;
        std::map<std::string, Place> keys;                ///< seen in this map
        std::optional<std::pair<std::string, Place>> key; ///< waiting for its value
    };

    /// Characters in the first `bytes` of a line. Values come in the order of the text, so counting goes on
    /// from the last place: a line of many values is counted once.
    std::size_t characters_before(std::size_t line, std::size_t bytes) const {
        const std::string_view rest = std::string_view(m_source->text).substr(m_line_starts[line]);
        bytes = std::min(bytes, rest.size());
        if (m_counted.line != line || m_counted.bytes > bytes) m_counted = {line, 0, 0};
        m_counted.characters += character_count(rest.substr(m_counted.bytes, bytes - m_counted.bytes));
        m_counted.bytes = bytes;
        return m_counted.characters;
    }

    /// How far a line has been counted.
    struct Counted {
        std::size_t line = 0;
        std::size_t bytes = 0;
        std::size_t characters = 0;
    };

    std::size_t offset(const YAML::Mark& mark) const {
        return static_cast<std::size_t>(std::max(mark.pos, 0));
    }

    bool expects_key() const {
        return !m_open.empty() && m_open.back().node.kind == Node::Kind::map && !m_open.back().key;
    }

    Node leaf(const YAML::Mark& mark, Node::Kind kind, const std::string& text) {
        if (++m_values > most_values) {
            fail(place(mark), "", fmt::format("more than {} values: this is no set-up file", most_values));
        }
        Node node;
        node.kind = kind;
        node.place = place(mark);
        node.text = text;
        if (expects_key()) {
            fail(node.place, "",
                 kind == Node::Kind::null ? "a key is missing here"
                                          : "a list or map cannot be a key: is it closed?");
        }
        return node;
    }

    void take_key(const YAML::Mark& mark, const std::string& key) {
        const Place here = place(mark);
        if (key == "<<") fail(here, path_of(key), "a merge key is not supported: write the keys out");
        const auto [seen, is_new] = m_open.back().keys.emplace(key, here);
        if (!is_new) fail(here, path_of(key), "given twice", seen->second, path_of(key));
        m_open.back().key.emplace(key, here);
    }

    /// Dotted, below all maps that are open.
    std::string path_of(std::string_view key) const {
        std::string path;
        for (const Open& above : m_open) {
            if (above.key) path = joined(path, above.key->first);
        }
        return joined(path, key);
    }

    void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Node::Kind kind) {
        refuse_anchor(mark, anchor);
        refuse_tag(mark, tag);
        m_reported = offset(mark) + 1;
        if (m_open.size() >= deepest_nesting) {
            fail(place(mark), "", fmt::format("nested more than {} deep", deepest_nesting));
        }
        Open opened;
        opened.node = leaf(mark, kind, "");
        m_open.push_back(std::move(opened));
    }

    void close() {
        Node node = std::move(m_open.back().node);
        m_open.pop_back();
        add(std::move(node));
    }

    void add(Node node) {
        if (m_open.empty()) {
            m_root = std::move(node);
            return;
        }
        Open& parent = m_open.back();
        if (parent.node.kind == Node::Kind::list) {
            parent.node.items.push_back(std::move(node));
            return;
        }
        parent.node.members.push_back(
            {std::move(parent.key->first), std::move(parent.key->second), std::move(node)});
        parent.key.reset();
    }

    void refuse_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) const {
        if (anchor != YAML::NullAnchor) {
            fail(place(mark), "",
                 "an anchor (&name) is not supported: write the value out where it is needed");
        }
    }

    void refuse_tag(const YAML::Mark& mark, const std::string& tag) const {
        if (tag.empty() || tag == "?" || tag == "!") return; // plain, plain scalar, quoted scalar
        fail(place(mark), "", fmt::format("a tag ({}) is not supported: leave it out", in_quotes(tag)));
    }

    std::shared_ptr<const Source> m_source;
    std::vector<std::size_t> m_line_starts;
    mutable Counted m_counted;
    std::vector<Open> m_open;
    Node m_root;
    std::size_t m_values = 0;
    std::size_t m_reported = 0;
    bool m_has_document = false;
};

/// The parser finds an open quote at the end of the text; the quote itself is the first that begins a scalar
/// after everything that was reported.
std::optional<std::size_t> open_quote(std::string_view text, std::size_t from) {
    for (std::size_t i = from; i < text.size(); ++i) {
        const bool starts =
            i == 0 || std::string_view(" \t\n[{,").find(text[i - 1]) != std::string_view::npos;
        if (starts && (text[i] == '"' || text[i] == '\'')) return i;
    }
    return std::nullopt;
}

/// The parser's reasons in words that help; its own for those that are rare.
std::string reason(const std::string& parsers) {
    static const std::map<std::string_view, std::string_view> reasons{
        {YAML::ErrorMsg::END_OF_MAP, "expected the next key here: check quotes and indentation before it"},
        {YAML::ErrorMsg::END_OF_SEQ, "expected the next item of the list here: check the indentation"},
        {YAML::ErrorMsg::MAP_VALUE,
         "a colon that cannot stand here: check the indentation, or quote the text"},
        {YAML::ErrorMsg::FLOW_END, "a bracket that closes none: is it of the wrong kind?"},
        {YAML::ErrorMsg::UNKNOWN_TOKEN, "no value begins like this: quote the text"},
        {YAML::ErrorMsg::TAB_IN_INDENTATION, "a tab: indent with blanks"},
        {YAML::ErrorMsg::UNKNOWN_ANCHOR, no_alias},
    };
    const auto found = reasons.find(parsers);
    return found != reasons.end() ? std::string(found->second) : "not valid YAML: " + parsers;
}

[[noreturn]] void fail_parse(const YAML::Exception& error, const TreeBuilder& builder,
                             const std::shared_ptr<const Source>& source) {
    if (error.msg == YAML::ErrorMsg::DOC_IN_SCALAR || error.msg == YAML::ErrorMsg::EOF_IN_SCALAR) {
        const auto quote = open_quote(source->text, builder.reported());
        fail(quote ? place_at(source, *quote) : builder.place(error.mark), "", "a quote that is not closed");
    }
    if (error.msg == YAML::ErrorMsg::END_OF_MAP_FLOW || error.msg == YAML::ErrorMsg::END_OF_SEQ_FLOW) {
        fail(builder.innermost(), "", "a bracket that is not closed");
    }
    // A tab before the first key of a line spoils the indentation, whatever the parser makes of it.
    const Place place = builder.place(error.mark);
    const std::size_t line_start = builder.line_start(place.line);
    const std::size_t text_start = source->text.find_first_not_of(" \t", line_start);
    const std::size_t tab = source->text.find('\t', line_start);
    const bool is_tab = tab != std::string::npos && tab < text_start;
    fail(is_tab ? place_at(source, tab) : place, "",
         reason(is_tab ? YAML::ErrorMsg::TAB_IN_INDENTATION : error.msg));
}

} // namespace

Node parse_yaml(const std::shared_ptr<const Source>& source, std::size_t skipped) {
    check_text(source);
    TreeBuilder builder(source);
    // A document end after the text turns an open quote, which the parser would accept, into an error.
    // Blanks in place of what is skipped keep the columns.
    std::istringstream stream(std::string(skipped, ' ') + source->text.substr(skipped) + "\n...\n");
    try {
        YAML::Parser parser(stream);
        while (parser.HandleNextDocument(builder)) {
        }
    } catch (const YAML::Exception& error) {
        fail_parse(error, builder, source);
    }
    return std::move(builder).root();
}

} // namespace valve::setup
