#include <support/catch.hpp>
#include <valve/core/text.hpp>

#include <string>
#include <vector>

using namespace valve;

TEST_CASE("blanks are trimmed at both ends only", "[core][text]") {
    CHECK(trimmed("  a b\t\r\n") == "a b");
    CHECK(trimmed(" \t ").empty());
}

TEST_CASE("UTF-8 sequences are told from other bytes", "[core][text]") {
    // Boundaries from RFC 3629, section 4.
    CHECK(utf8_length("a") == 1);
    CHECK(utf8_length("\xC2\x80") == 2);
    CHECK(utf8_length("\xE0\xA0\x80") == 3);
    CHECK(utf8_length("\xED\x9F\xBF") == 3);
    CHECK(utf8_length("\xF4\x8F\xBF\xBF") == 4);
    CHECK(utf8_length("\xC1\xBF") == 0);         // overlong
    CHECK(utf8_length("\xE0\x9F\xBF") == 0);     // overlong
    CHECK(utf8_length("\xF0\x8F\xBF\xBF") == 0); // overlong
    CHECK(utf8_length("\xED\xA0\x80") == 0);     // surrogate
    CHECK(utf8_length("\xF4\x90\x80\x80") == 0); // above U+10FFFF
    CHECK(utf8_length("\xF5\x80\x80\x80") == 0);
    CHECK(utf8_length("\x80") == 0);     // continues nothing
    CHECK(utf8_length("\xE2\x82") == 0); // cut short
    CHECK(character_count("é·日") == 3);
}

TEST_CASE("what is quoted in a message is safe to print and short", "[core][text]") {
    CHECK(in_quotes("16 mm²/s") == "'16 mm²/s'");
    CHECK(in_quotes("a\x1b[2J\n") == "'a [2J '");
    CHECK(in_quotes("\xC2\x9B") == "' '"); // a control character of two bytes
    CHECK(in_quotes("\xFF") == "'?'");
    CHECK(in_quotes("\xE2\x80\xAE"
                    "evil") == "' evil'"); // U+202E turns the text round
    CHECK(in_quotes(std::string(1000, 'x')) == "'" + std::string(60, 'x') + "…'");
    CHECK(printable("日本語", 2) == "日本…");
    CHECK(printable("日本", 2) == "日本");
}

TEST_CASE("text of several lines keeps its layout and nothing that a terminal acts on", "[core][text]") {
    CHECK(harmless("a\tb\nc") == "a\tb\nc");
    CHECK(harmless("\x1b[2J\r\a"
                   "é·日") == " [2J  é·日");
    // Directional controls of Unicode Standard Annex 9, and line ends that are none of ours.
    for (const char* control : {"\xD8\x9C", "\xE2\x80\x8E", "\xE2\x80\x8F", "\xE2\x80\xA8", "\xE2\x80\xAA",
                                "\xE2\x80\xAE", "\xE2\x81\xA6", "\xE2\x81\xA9", "\xC2\x85"})
        CHECK(harmless(std::string("x") + control + "y") == "x y");
    CHECK(harmless("\xE2\x80\xB0\xE2\x80\xA6") == "‰…"); // neighbours stay
    CHECK(harmless("\xFF") == "?");
}

TEST_CASE("the nearest word is the one a slip away", "[core][text]") {
    const std::vector<std::string> words{"bore", "rod", "travel", "ring_leak", "E"};
    CHECK(nearest("boer", words) == "bore");
    CHECK(nearest("Travel", words) == "travel");
    CHECK(nearest("ring-leek", words) == "ring_leak");
    CHECK(nearest("engine", words).empty());
    CHECK(nearest("x", words).empty()); // any word of one letter would be one edit away
    CHECK(nearest(std::string(100'000, 'r'), words).empty());
    CHECK(did_you_mean("rdo", words) == "; did you mean 'rod'?");
    CHECK(did_you_mean("engine", words).empty());
}

TEST_CASE("where no word is near those that hold it are named", "[core][text]") {
    const std::vector<std::string> words{"rider_sag", "free_sag",   "damping_force", "support_force",
                                         "rod_force", "peak_force", "sagging_oil",   "free_sag"};
    CHECK(did_you_mean("sag", words) == "; did you mean 'rider_sag' or 'free_sag'?");
    CHECK(did_you_mean("Damping", words) == "; did you mean 'damping_force'?");
    CHECK(did_you_mean("force", words).empty()); // of too many
    CHECK(did_you_mean("ag", words).empty());
    CHECK(did_you_mean("_", words).empty());
    CHECK(did_you_mean("", words).empty());
}
