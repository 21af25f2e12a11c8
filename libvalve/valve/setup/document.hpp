#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::setup {

/// A value given beside the file. `value` is YAML; `null` removes the key.
struct Override {
    std::string key;
    std::string value;
    std::string source = "override"; ///< what gave it, as messages call it: an option of a program
};

struct Node; // of the document's tree
struct Difference;

/// What a key holds in a set-up.
struct Value {
    std::string text;             ///< as it could be written in a file: "0.15 mm", "[2 * 26 x 0.35]"
    std::optional<double> number; ///< of a quantity [SI], or of a whole number
    bool is_written = true;       ///< false: a default, or what follows from other keys
};

/// Gives the text that is called `name`; none where there is no such.
using TextByName = std::function<std::optional<std::string>(const std::string& name)>;

/// A set-up as it is written: a file with its `from:` chain, `change:` and overrides applied, every value
/// with the place it came from. Not yet checked against the known keys; read() resolves it into what is
/// solved. Immutable: an edit gives another document.
class Document {
public:
    /// Reads `path`. Throws InputError for a file that is missing, too large, not UTF-8, not YAML of the
    /// plain kind (anchors, tags, second document, duplicate keys), or whose `from:` chain is broken.
    static Document load(const std::string& path, const std::vector<Override>& overrides = {});

    /// Reads `text`, which messages call `name`; `others` gives the texts that `from:` names, as paths beside
    /// `name` ("stage/one.yaml"). Throws as load().
    static Document parse(const std::string& text, const std::string& name, const TextByName& others = {},
                          const std::vector<Override>& overrides = {});

    /// What the dotted `key` holds: as written, or else its default or what follows from other keys. None
    /// where there is nothing. Throws InputError for a key that no file may hold, and, where the key is not
    /// written, as read().
    std::optional<Value> get(std::string_view key) const;

    /// The same set-up with another value, YAML as in a file, at the dotted `key`; every other key stays as
    /// it is written, so that what follows from this one follows again. Throws InputError for a key that no
    /// file may hold, and for a value that its declaration does not allow.
    Document with(const std::string& key, const std::string& value) const;

    /// The same with a number: of a quantity [SI], or a whole number.
    Document with(const std::string& key, double value) const;

    /// The same set-up without `key`, which it may or may not hold.
    Document without(const std::string& key) const;

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
    std::vector<std::string> parts = {}; ///< the dotted keys that differ: this one, or of a map those in it
};

/// Keys that differ, in the order of the second document; `format`, `title`, `note`, `result` do not count.
/// Values are compared as written. A list counts as one value, and so does a map that is new, that is gone,
/// whose `kind` differs, or where one key stands in place of another (a hole for a needle): only as a whole
/// can these be undone.
std::vector<Difference> differences(const Document& from, const Document& to);

/// A file that makes `to` out of `from`, which it calls `from_name`: the keys that differ stand below
/// `change:`. Reading it gives what `to` gives.
std::string variant_text(const Document& from, const Document& to, const std::string& title,
                         const std::string& from_name);

/// `to` with one difference undone. Throws std::invalid_argument where `difference` is not one between the
/// two.
Document undone(const Document& to, const Document& from, const Difference& difference);

} // namespace valve::setup
