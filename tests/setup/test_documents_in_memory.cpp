#include <setup/files.hpp>
#include <setup/written.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <cstdio>
#include <ctime>
#include <map>
#include <optional>
#include <utility>

#ifndef _WIN32
#include <sys/stat.h>
#endif

using namespace valve;
using setup::Document;

namespace {

/// Texts of a map by their names.
setup::TextByName texts(std::map<std::string, std::string> by_name) {
    return [by_name = std::move(by_name)](const std::string& name) -> std::optional<std::string> {
        const auto found = by_name.find(name);
        if (found == by_name.end()) return std::nullopt;
        return found->second;
    };
}

template <class Call>
std::string message_of(const Call& call) {
    try {
        call();
    } catch (const InputError& error) {
        return error.what();
    }
    return "no message";
}

} // namespace

TEST_CASE("a document is read from memory as from a file", "[setup][document]") {
    const std::string text = file_text(test_file("example.yaml"));
    const setup::Reading from_memory = setup::read(Document::parse(text, "example.yaml"));
    CHECK(from_memory.unit == read_example().unit);
    CHECK(from_memory.title == read_example().title);
    REQUIRE(from_memory.written);
    CHECK(from_memory.written->path() == "example.yaml");
    const Document wider = Document::parse(text, "a.yaml", {}, {{"damper.bore", "30 mm"}});
    CHECK(setup::read(wider).unit->cartridge.bore == 0.03);
}

TEST_CASE("a variant in memory finds what it comes from by name", "[setup][document]") {
    const setup::TextByName others = texts({{"stage/base.yaml", samples::fork_text()}});
    const std::string variant = "format: 1\nfrom: ../stage/base.yaml\nchange: {damper.rod: 11 mm}\n";
    const Document document = Document::parse(variant, "tests/one.yaml", [&](const std::string& name) {
        return others(name == "stage/base.yaml" ? name : "");
    });
    CHECK(setup::read(document).unit->cartridge.rod == 0.011);
    CHECK(document.chain() == std::vector<std::string>{"tests/one.yaml", "stage/base.yaml"});
    CHECK_THAT(message_of([&] { Document::parse(variant, "tests/one.yaml"); }),
               contains_text("tests/one.yaml:2:7: error: from: '../stage") ||
                   contains_text("'stage/base.yaml' cannot be read: there is no text of that name"));
    CHECK_THAT(message_of([&] { Document::parse("format: 1\nfrom: a.yaml\n", "a.yaml"); }),
               contains_text("round in a circle"));
    CHECK_THAT(message_of([&] { Document::parse(std::string(setup::largest_file + 1, '#'), "a"); }),
               contains_text("a: error: cannot be read: it is larger than 1 MB"));
}

TEST_CASE("an edit leaves everything else as it is written", "[setup][document]") {
    const std::string coil = "valves.piston.compression.float";
    const Document document = samples::fork_document(
        {{coil, "{travel: 0.3 mm, rate: 4 N/mm, preload: 1 N, adjuster: {turns: 1.5, per_turn: 0.5 mm, of: "
                "4}}"}});
    const auto preload = [](const Document& of) {
        return setup::read(of).unit->valves[damper::Place::piston_compression]->stack.floating->preload;
    };
    CHECK_THAT(preload(document), WithinRel(1.0 + 4.0 * 0.5 * 2.5, 1e-12));
    // A turn stays a turn: with a softer coil it adds less.
    const Document softer = document.with(coil + ".rate", "2 N/mm");
    CHECK_THAT(preload(softer), WithinRel(1.0 + 2.0 * 0.5 * 2.5, 1e-12));
    CHECK(softer.get(coil + ".adjuster.turns")->number == 1.5);
    CHECK_THAT(preload(document.with(coil + ".adjuster.turns", 4.0)), WithinRel(1.0, 1e-12));
    // Undoing what a variant changed goes the same way.
    const Document changed = softer.with(coil + ".adjuster.turns", "0.5");
    for (const setup::Difference& difference : setup::differences(document, changed))
        if (difference.key == coil + ".rate")
            CHECK_THAT(preload(setup::undone(changed, document, difference)),
                       WithinRel(1.0 + 4.0 * 0.5 * 3.5, 1e-12));
    CHECK(preload(document) == preload(document)); // documents do not change
    CHECK(setup::differences(document, document.with("damper.rod", 12e-3)).empty());
}

TEST_CASE("a variant is written as a file that reads back", "[setup][document]") {
    const Document from = samples::fork_document();
    const Document to =
        from.with("support.spring.rate", "5.1 N/mm")
            .without("damper.ring_leak")
            .with("valves.base.compression.shims", "[4 * 24 x 0.15, {outer: 22, thickness: 0.2}]");
    const std::string text = setup::variant_text(from, to, "firmer: a # trial", "fork.yaml");
    CHECK(text == "format: 1\n"
                  "title: \"firmer: a # trial\"\n"
                  "from: fork.yaml\n"
                  "change:\n"
                  "  damper.ring_leak: null\n"
                  "  valves.base.compression.shims: [4 * 24 x 0.15, {outer: 22, thickness: 0.2}]\n"
                  "  support.spring.rate: 5.1 N/mm\n");
    const Document back = Document::parse(text, "firmer.yaml", texts({{"fork.yaml", samples::fork_text()}}));
    CHECK(setup::differences(to, back).empty());
    CHECK(setup::read(back).title == "firmer: a # trial");
}

#ifndef _WIN32
TEST_CASE("what is no file is not read, whoever names it", "[setup][bad]") {
    const Folder folder;
    const std::string inside = std::filesystem::path(folder.write("x", "")).parent_path().string();
    const std::string pipe = inside + "/pipe.yaml";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    CHECK_THAT(message_of([&] { Document::load(pipe); }), contains_text("it is a pipe, not a file"));
    CHECK_THAT(message_of([&] { Document::load("/dev/null"); }), contains_text("it is a device, not a file"));
    const std::string variant = folder.write("variant.yaml", "format: 1\nfrom: pipe.yaml\n");
    CHECK_THAT(message_of([&] { Document::load(variant); }), contains_text("it is a pipe, not a file"));
}

TEST_CASE("from: is found beside the file itself, not beside a link to it", "[setup][document]") {
    const Folder folder;
    folder.write("bench/base.yaml", samples::fork_text());
    const std::string real =
        folder.write("bench/variant.yaml", "format: 1\nfrom: base.yaml\nchange: {damper.rod: 11 mm}\n");
    const auto above = std::filesystem::path(real).parent_path().parent_path();
    std::filesystem::create_directory(above / "elsewhere");
    std::filesystem::create_symlink("../bench/variant.yaml", above / "elsewhere" / "latest.yaml");
    std::filesystem::create_symlink("latest.yaml", above / "elsewhere" / "today.yaml");
    for (const char* name : {"latest.yaml", "today.yaml"}) {
        const Document document = Document::load((above / "elsewhere" / name).string());
        CHECK(setup::read(document).unit->cartridge.rod == 0.011);
    }
    // ".." behind a link to a folder leads out of the folder that it names.
    folder.write("bench/deep/up.yaml", "format: 1\nfrom: ../base.yaml\n");
    std::filesystem::create_directory_symlink(above / "bench" / "deep", above / "short");
    CHECK(setup::read(Document::load((above / "short" / "up.yaml").string())).unit->cartridge.rod == 0.012);
}
#endif

TEST_CASE("one line of very many values takes no longer than many lines", "[setup][yaml]") {
    std::string line = "format: 1\nnote: [";
    for (int i = 0; i < 49'000; ++i)
        line += "10.5, ";
    line += "1]\n";
    const std::clock_t start = std::clock();
    const Document document = Document::parse(line, "long.yaml");
    const double seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
    std::printf("49,000 values in one line: %.0f ms of CPU time\n", seconds * 1e3);
    CHECK(seconds < 1.0); // counting the columns of each from the line's start took 2.4 s
    CHECK(setup::place_of(document.root(), "note").line == 2);
}
