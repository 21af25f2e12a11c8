#include <frame/references.hpp>
#include <support/catch.hpp>

#include <fmt/format.h>

#include <cctype>
#include <filesystem>
#include <fstream>
#include <functional>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <string_view>

namespace {

namespace fs = std::filesystem;
using Keys = std::set<std::string, std::less<>>;

/// Words that look like a key: lower case, with a year at the end.
Keys dated_words(const std::string& text) {
    static const std::regex word{R"(\b[a-z]+(_[a-z0-9]+)*_(1[89]|20)[0-9][0-9]\b)"};
    Keys found;
    for (std::sregex_iterator match{text.begin(), text.end(), word}, end; match != end; ++match)
        found.insert(match->str());
    return found;
}

/// Authors with initials, as a work is cited without its key. A capital letter may also end a sentence, so
/// that one initial counts only where no sentence goes on after the name.
Keys named_authors(const std::string& text) {
    static const std::regex author{
        R"re((^|[\s(;,])(([A-Z]\.[ -]){2,3}[A-Z][a-z]+|[A-Z]\. [A-Z][a-z]+(?=[,;)]| and )))re"};
    Keys found;
    for (std::sregex_iterator match{text.begin(), text.end(), author}, end; match != end; ++match)
        found.insert((*match)[2]);
    return found;
}

bool is_source(const fs::path& path) {
    static const Keys endings{".hpp", ".cpp", ".py", ".ts", ".mjs", ".md"};
    return endings.contains(path.extension().string());
}

/// Texts of all sources by their path below the project, this one and the test of keys themselves left out.
const std::map<std::string, std::string>& sources() {
    static const std::map<std::string, std::string> texts = [] {
        std::map<std::string, std::string> found;
        const fs::path root{VALVE_SOURCE_DIR};
        const auto take = [&](const fs::path& path) {
            std::ostringstream text;
            text << std::ifstream(path).rdbuf();
            found.emplace(fs::relative(path, root).generic_string(), text.str());
        };
        take(root / "README.md");
        take(root / "DEVELOPERS.md");
        for (const char* folder : {"libvalve", "tools", "tests", "validation"}) {
            fs::recursive_directory_iterator entry{root / folder};
            for (; entry != fs::recursive_directory_iterator{}; ++entry) {
                if (entry->path().filename() == "node_modules") entry.disable_recursion_pending();
                if (entry->is_regular_file() && is_source(entry->path())) take(entry->path());
            }
        }
        found.erase("tests/validation/test_citations.cpp");
        found.erase("tests/validation/test_recorder.cpp");
        return found;
    }();
    return texts;
}

valve::validation::References works() {
    return valve::validation::References::load(VALVE_SOURCE_DIR "/validation/references.bib");
}

bool has_word(const std::string& text, const std::string& word) {
    const auto within_a_word = [&text](std::size_t at) {
        return at < text.size() &&
               (std::isalnum(static_cast<unsigned char>(text[at])) != 0 || text[at] == '_');
    };
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1))
        if ((at == 0 || !within_a_word(at - 1)) && !within_a_word(at + word.size())) return true;
    return false;
}

} // namespace

TEST_CASE("citations: every work that is cited is among the references", "[validation]") {
    const valve::validation::References known = works();
    for (const auto& [path, text] : sources())
        for (const std::string& key : dated_words(text)) {
            INFO(path);
            CHECK(fmt::format("{}{}", key, known.contains(key) ? "" : ", not in references.bib") == key);
        }
}

TEST_CASE("citations: every one of the references is cited", "[validation]") {
    const valve::validation::References known = works();
    for (const std::string& key : known.keys()) {
        bool cited = false;
        for (const auto& [path, text] : sources())
            cited = cited || has_word(text, key);
        CHECK(fmt::format("{}{}", key, cited ? "" : " is cited nowhere") == key);
    }
}

TEST_CASE("citations: works are cited by their keys, not by their authors' initials", "[validation]") {
    for (const auto& [path, text] : sources()) {
        INFO(path);
        CHECK(named_authors(text) == Keys{});
    }
}

TEST_CASE("citations: the scanner finds what it is there to find", "[validation]") {
    CHECK(dated_words("see budynas_nisbett_2015, 6-12; count_2 of x_1234 and Lamb_1932") ==
          Keys{"budynas_nisbett_2015"});
    CHECK(named_authors("(H. Lamb, Hydrodynamics); B. N. Parlett; chamber S. Its pressure, and R. Then it") ==
          Keys{"B. N. Parlett", "H. Lamb"});
}
