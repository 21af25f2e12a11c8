#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/detail/node.hpp>

using namespace valve;
using setup::Document;

namespace {

std::string value_at(const Document& document, const std::string& key) {
    const setup::Member* member = find_at(document.root(), key);
    return member == nullptr ? "none" : flow_text(member->value);
}

constexpr const char* base = "format: 1\n"
                             "title: the base\n"
                             "note: of the base\n"
                             "damper: {bore: 25 mm, rod: 12 mm}\n"
                             "valves:\n"
                             "  base.refill: {float: {rate: 0.8 N/mm}, shims: [26 x 0.20, 24 x 0.20]}\n";

} // namespace

TEST_CASE("a variant changes single values of another file", "[setup][document]") {
    const Folder folder;
    folder.write("base.yaml", base);
    const Document variant =
        Document::load(folder.write("variant.yaml", "format: 1\n"
                                                    "from: base.yaml\n"
                                                    "result: stiffer\n"
                                                    "change:\n"
                                                    "  valves.base.refill.float.rate: 60 N/mm\n"
                                                    "  valves.base.refill.shims: [26 x 0.35]\n"
                                                    "  damper.ring_leak.gap: 0.02 mm\n"
                                                    "  damper.rod: null\n"));
    CHECK(value_at(variant, "valves.base.refill.float.rate") == "60 N/mm");
    CHECK(value_at(variant, "valves.base.refill.shims") == "[26 x 0.35]"); // replaced whole
    CHECK(value_at(variant, "damper.ring_leak") == "{gap: 0.02 mm}");      // made on the way
    CHECK(value_at(variant, "damper.rod") == "none");
    CHECK(value_at(variant, "damper.bore") == "25 mm");
    // What a file says about itself is not handed on.
    CHECK(value_at(variant, "title") == "none");
    CHECK(value_at(variant, "note") == "none");
    CHECK(value_at(variant, "result") == "stiffer");
    CHECK(value_at(variant, "from") == "none");
}

TEST_CASE("every value keeps the place it came from", "[setup][document]") {
    const Folder folder;
    folder.write("base.yaml", base);
    const std::string path =
        folder.write("variant.yaml", "format: 1\nfrom: base.yaml\nchange:\n  damper.rod: 14 mm\n");
    const Document variant = Document::load(path, {{"valves.base.refill.float.rate", "60 N/mm", "--set"}});
    const auto place = [&](const char* key) { return find_at(variant.root(), key)->value.place; };
    CHECK_THAT(place("damper.bore").source->name, contains_text("base.yaml"));
    CHECK(place("damper.bore").line == 4);
    CHECK(place("damper.rod").source->name == path);
    CHECK(place("damper.rod").line == 4);
    CHECK(place("valves.base.refill.float.rate").source->name == "--set");
}

TEST_CASE("changes follow a chain of files, found beside each file", "[setup][document]") {
    const Folder folder;
    folder.write("base.yaml", base);
    folder.write("stage/one.yaml",
                 "format: 1\nfrom: ../base.yaml\nchange: {damper.rod: 14 mm, damper.bore: 30 mm}\n");
    const std::string last =
        folder.write("two.yaml", "format: 1\nfrom: stage/one.yaml\nchange: {damper.rod: 16 mm}\n");
    const Document document = Document::load(last);
    CHECK(document.path() == last);
    REQUIRE(document.chain().size() == 3);
    CHECK(document.chain().front() == last);
    CHECK(document.chain().back() == Document::load(document.chain().back()).path());
    CHECK(value_at(Document::load(document.chain().back()), "valves.base.refill.float.rate") == "0.8 N/mm");
    CHECK(value_at(document, "damper.rod") == "16 mm");
    CHECK(value_at(document, "damper.bore") == "30 mm");
    CHECK(value_at(document, "valves.base.refill.float.rate") == "0.8 N/mm");
}

TEST_CASE("a chain without an end is refused", "[setup][document]") {
    const Folder folder;
    for (int i = 0; i < 40; ++i)
        folder.write(std::to_string(i) + ".yaml", "format: 1\nfrom: " + std::to_string(i + 1) + ".yaml\n");
    const std::string self = folder.write("self.yaml", "format: 1\nfrom: ./self.yaml\n");
    CHECK_THROWS_WITH(Document::load(self), contains_text("round in a circle"));
    const std::string first = folder.write("0.yaml", "format: 1\nfrom: 1.yaml\n");
    CHECK_THROWS_WITH(Document::load(first), contains_text("more than 32 files in a chain"));
}

TEST_CASE("overrides go the way of changes", "[setup][document]") {
    const Folder folder;
    const std::string path = folder.write("base.yaml", base);
    const Document document = Document::load(path, {{"damper.rod", "14 mm"},
                                                    {"valves.base.refill.shims", "[2 * 26 x 0.35]"},
                                                    {"damper.rod", "16 mm"},
                                                    {"valves.base.refill.float", "null"}});
    CHECK(value_at(document, "damper.rod") == "16 mm"); // the last holds
    CHECK(value_at(document, "valves.base.refill.shims") == "[2 * 26 x 0.35]");
    CHECK(value_at(document, "valves.base.refill.float") == "none");
}

TEST_CASE("a wrong override shows itself", "[setup][document]") {
    const auto message = [](const std::string& key, const std::string& value) {
        try {
            read_example({{key, value, "--set"}});
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("no message");
    };
    CHECK(message("damper.bore", "25 bar") ==
          "--set: error: damper.bore: '25 bar' is a pressure; expected a length, e.g. 20 mm\n"
          "      | damper.bore=25 bar\n"
          "      |             ^");
    CHECK(message("damper.bor", "25 mm") == "--set: error: damper.bor: unknown key; did you mean 'bore'?\n"
                                            "      | damper.bor=25 mm\n"
                                            "      | ^");
    CHECK_THAT(message("damper.bore", " "), contains_text("no value; null would remove the key"));
    CHECK_THAT(message("damper.bore", "[25"), contains_text("--set: error:"));
    CHECK_THAT(message("damper.bore", "\"25"), contains_text("a quote that is not closed"));
    CHECK_THAT(message("damper.bore", "&a 25 mm"), contains_text("an anchor"));
    CHECK_THAT(message("damper.bore", "null"), contains_text("removed, but needed"));
    CHECK_THAT(message("", "3"), contains_text("expected a dotted key"));
    CHECK_THAT(message("from", "other.yaml"), contains_text("cannot be changed"));
    CHECK_THAT(message("valves.base.refill.shims[1]", "24 x 0.15"), contains_text("unknown key"));
}

TEST_CASE("a byte order mark and carriage returns do no harm", "[setup][document]") {
    const Folder folder;
    const Document document = Document::load(folder.write("dos.yaml", "\xEF\xBB\xBF"
                                                                      "format: 1\r\ntitle: a fork\r\n"));
    CHECK(value_at(document, "title") == "a fork");
}
