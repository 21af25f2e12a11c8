#include <setup/files.hpp>
#include <setup/working_folder.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/detail/yaml.hpp>

using namespace valve;

namespace {

/// The message that a file gives.
std::string message_of(const std::string& path) {
    try {
        setup::read(setup::Document::load(path));
    } catch (const InputError& error) {
        return error.what();
    }
    return "no message";
}

} // namespace

// Each file below bad/ holds one fault and stands beside the message it must give.
TEST_CASE("every wrong file gives its message", "[setup][bad]") {
    const std::size_t files = check_bad_files(test_file("bad"), [](const std::string& name) {
        static_cast<void>(setup::read(setup::Document::load(name)));
    });
    CHECK(files >= 60);
}

TEST_CASE("files beyond the limits are refused", "[setup][bad]") {
    const Folder folder;
    const auto message = [&](const std::string& text) { return message_of(folder.write("big.yaml", text)); };
    CHECK_THAT(message(std::string(setup::largest_file + 1, '#')), contains_text("larger than 1 MB"));
    CHECK_THAT(message(std::string(setup::largest_file, '#')), contains_text("the file is empty"));
    for (const char bracket : {'[', '{'}) {
        const std::string open(setup::largest_file, bracket);
        CHECK_THAT(message(open), contains_text("a list or map cannot be a key: is it closed?"));
    }

    const std::string half(400'000, '[');
    CHECK_THAT(message("note: " + half + std::string(half.size(), ']')),
               contains_text("nested more than 32 deep"));

    std::string items = "note: [";
    for (std::size_t i = 0; i < setup::most_values; ++i)
        items += "1,";
    CHECK_THAT(message(items + "1]\n"), contains_text("more than 50000 values"));

    std::string dashes = "note: ";
    for (int i = 0; i < 100'000; ++i)
        dashes += "- ";
    CHECK_THAT(message(dashes), contains_text("error:"));
    std::string keys;
    for (int i = 0; i < 40'000; ++i)
        keys += "k" + std::to_string(i) + ": 1\n";
    CHECK_THAT(message("format: 1\n" + keys), contains_text("k0: unknown key"));
}

TEST_CASE("a file that is not there, or a folder, is named", "[setup][bad]") {
    CHECK_THAT(message_of(test_file("none.yaml")), contains_text("none.yaml: error: cannot be read"));
    CHECK_THAT(message_of(test_file("bad")), contains_text("cannot be read: it is a folder"));
}

TEST_CASE("an alias bomb is refused at its first anchor", "[setup][bad]") {
    const Folder folder;
    const std::string path = folder.write("bomb.yaml", "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n");
    CHECK_THAT(message_of(path), contains_text("bomb.yaml:1:4: error: an anchor"));
}
