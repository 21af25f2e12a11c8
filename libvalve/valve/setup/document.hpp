#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace valve::setup {

/// A value given beside the file: `--set KEY=VALUE`. `value` is YAML; `null` removes the key.
struct Override {
    std::string key;
    std::string value;
};

struct Node; // of the document's tree; node.hpp
struct Difference;

/// A set-up file with its `from:` chain, `change:` and overrides applied, every value with the place it came
/// from. Not yet checked against the known keys.
class Document {
public:
    /// Reads `path`. Throws InputError for a file that is missing, too large, not UTF-8, not YAML of the
    /// plain kind (anchors, tags, second document, duplicate keys), or whose `from:` chain is broken.
    static Document load(const std::string& path, const std::vector<Override>& overrides = {});

    const std::string& path() const { return m_chain.front(); }

    /// The file, the one that its `from:` names, and so on; the last is the unit as found.
    const std::vector<std::string>& chain() const { return m_chain; }

    const Node& root() const { return *m_root; }

private:
    Document(std::vector<std::string> chain, Node root);
    friend Document undone(const Document& to, const Document& from, const Difference& difference);

    std::vector<std::string> m_chain;
    std::shared_ptr<const Node> m_root;
};

/// One dotted key whose value differs between two documents.
struct Difference {
    std::string key;
    std::optional<std::string> from; ///< as YAML flow text; none: not given there
    std::optional<std::string> to;
};

/// Keys that differ, in the order of the second document; `format`, `title`, `note`, `result` do not count.
/// Values are compared as written. A list counts as one value, and so does a map that is new, that is gone,
/// whose `kind` differs, or where one key stands in place of another (a hole for a needle): only as a whole
/// can these be undone.
std::vector<Difference> differences(const Document& from, const Document& to);

/// `to` with one difference undone. Throws std::invalid_argument where `difference` is not one between the
/// two.
Document undone(const Document& to, const Document& from, const Difference& difference);

} // namespace valve::setup
