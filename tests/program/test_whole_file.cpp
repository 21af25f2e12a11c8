#include <program/run.hpp>
#include <support/catch.hpp>
#include <valve/setup/search_part.hpp>

#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <string>
#include <thread>
#include <usage.hpp>
#include <vector>
#include <whole_file.hpp>

using namespace valve::tests;
namespace fs = std::filesystem;

namespace {

/// A new folder with the file `found` in it.
class Folder {
public:
    explicit Folder(const std::string& name) : m_path(fs::path(file_with(name, "")).string() + ".d") {
        fs::create_directories(m_path);
    }
    ~Folder() {
        std::error_code ignored;
        fs::remove_all(m_path, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    std::string file(const std::string& name) const { return m_path + "/" + name; }

    std::vector<std::string> names() const {
        std::vector<std::string> found;
        for (const auto& entry : fs::directory_iterator(m_path))
            found.push_back(entry.path().filename().string());
        std::sort(found.begin(), found.end());
        return found;
    }

private:
    std::string m_path;
};

using Names = std::vector<std::string>;

mode_t mode_of(const std::string& path) {
    struct stat status {};
    REQUIRE(stat(path.c_str(), &status) == 0);
    return status.st_mode & 07777;
}

/// Starts a child that runs `work` and ends; sends it `signal` after a while.
template <class Work>
void interrupted(int signal, std::chrono::microseconds after, const Work& work) {
    sigset_t held; // until the child no longer has the handler of the tests
    sigset_t before;
    sigemptyset(&held);
    sigaddset(&held, signal);
    pthread_sigmask(SIG_BLOCK, &held, &before);
    const pid_t child = fork();
    if (child == 0) {
        std::signal(signal, SIG_DFL);
        pthread_sigmask(SIG_SETMASK, &before, nullptr);
        work();
        _exit(0);
    }
    pthread_sigmask(SIG_SETMASK, &before, nullptr);
    REQUIRE(child >= 0);
    std::this_thread::sleep_for(after);
    kill(child, signal);
    int status = 0;
    waitpid(child, &status, 0);
}

} // namespace

TEST_CASE("a file is written whole, with what the user's mask leaves, and nothing beside it",
          "[program][file]") {
    const Folder folder("plain");
    const std::string path = folder.file("page.html");
    const mode_t mask = umask(027);
    program::write_whole(path, "one");
    umask(mask);
    CHECK(content(path) == "one");
    CHECK(mode_of(path) == 0640);
    program::write_whole(path, "two");
    CHECK(content(path) == "two");
    CHECK(folder.names() == Names{"page.html"});
}

TEST_CASE("a file that stood there keeps its mode", "[program][file]") {
    const Folder folder("mode");
    const std::string path = folder.file("page.html");
    program::write_whole(path, "one");
    REQUIRE(chmod(path.c_str(), 0604) == 0);
    program::write_whole(path, "two");
    CHECK(mode_of(path) == 0604);
}

TEST_CASE("links are followed, and stay", "[program][file]") {
    const Folder folder("links");
    fs::create_directory(folder.file("elsewhere"));
    program::write_whole(folder.file("elsewhere/page.html"), "old");
    fs::create_symlink("elsewhere/page.html", folder.file("link"));
    fs::create_symlink("link", folder.file("link-to-link"));
    program::write_whole(folder.file("link-to-link"), "new");
    CHECK(fs::is_symlink(folder.file("link")));
    CHECK(fs::is_symlink(folder.file("link-to-link")));
    CHECK(content(folder.file("elsewhere/page.html")) == "new");
    fs::create_symlink("elsewhere/not-yet.html", folder.file("dangling"));
    program::write_whole(folder.file("dangling"), "first");
    CHECK(content(folder.file("elsewhere/not-yet.html")) == "first");
    fs::create_symlink("round", folder.file("round"));
    CHECK_THROWS_AS(program::write_whole(folder.file("round"), "never"), program::CannotWrite);
}

TEST_CASE("nobody's file beside the output is touched", "[program][file]") {
    const Folder folder("beside");
    program::write_whole(folder.file("page.html.part"), "mine"); // the name that was once written to
    program::write_whole(folder.file("page.html"), "page");
    CHECK(content(folder.file("page.html.part")) == "mine");
}

TEST_CASE("what cannot be meant for output is wrong usage that names the option", "[program][file]") {
    const Folder folder("refused");
    const std::string input = folder.file("fork.yaml");
    program::write_whole(input, "format: 1\n");
    fs::create_symlink("fork.yaml", folder.file("same"));
    REQUIRE(mkfifo(folder.file("pipe").c_str(), 0600) == 0);
    const std::vector<std::string> inputs{input};
    for (const std::string& path : {input, folder.file("same"), folder.file("./fork.yaml"), folder.file("."),
                                    folder.file("pipe"), std::string("/dev/null")}) {
        INFO(path);
        try {
            program::check_output("-o", path, inputs, {});
            FAIL("was taken");
        } catch (const program::UsageError& error) {
            CHECK_THAT(error.what(), contains_text("-o: "));
        }
    }
    CHECK_NOTHROW(program::check_output("-o", folder.file("page.html"), inputs, {}));
    for (const std::string& path : {folder.file("."), folder.file("pipe"), folder.file("none/page.html")})
        CHECK_THROWS_AS(program::write_whole(path, "never"), program::CannotWrite);
    CHECK(content(input) == "format: 1\n");
}

TEST_CASE("an interrupt or a kill leaves the old file or the new, and nothing else", "[program][file]") {
    const Folder folder("killed");
    const std::string old_text(1000, 'o');
    const std::string new_text(4'000'000, 'n');
    const std::string path = folder.file("page.html");
    program::write_whole(path, old_text);
    for (int round = 0; round < 10; ++round) {
        const std::chrono::microseconds after(300 + 700 * round);
        interrupted(SIGTERM, after, [&] { program::write_whole(path, new_text); });
        const std::string text = content(path);
        CHECK((text == old_text || text == new_text));
        CHECK(folder.names() == Names{"page.html"});
    }
    // A kill cannot be held back; a file that is not there yet is named only when it is whole.
    for (int round = 0; round < 10; ++round) {
        const std::string fresh = folder.file("fresh.html");
        interrupted(SIGKILL, std::chrono::microseconds(300 + 700 * round),
                    [&] { program::write_whole(fresh, new_text); });
        if (fs::exists(fresh)) {
            CHECK(content(fresh) == new_text);
            fs::remove(fresh);
        }
        CHECK(folder.names() == Names{"page.html"});
    }
}

namespace {

std::string part_text(int part, int of) {
    valve::setup::SearchPartFile file;
    file.part = part;
    file.of = of;
    return file.text();
}

} // namespace

TEST_CASE("a file of this program is written over by an answer of its kind alone", "[program][file]") {
    const Folder folder("kinds");
    const auto with = [&folder](const char* name, const std::string& text) {
        program::write_whole(folder.file(name), text);
        return folder.file(name);
    };
    const std::string base = with("fork.yaml", "format: 1\n");
    const std::string other = with("shock.yaml", "format: 1\n");
    const std::string answer =
        with("answer.yaml", "format: 1\ntitle: A\nfrom: fork.yaml\nchange:\n  damper.rod: 12 mm\n");
    const std::string noted = with("noted.yaml", "format: 1\nfrom: fork.yaml\nresult: rode well\n");
    const std::string part = with("part.yaml", part_text(1, 2));
    const std::string last = with("last.yaml", part_text(2, 2));
    const std::string edited = with("edited.yaml", "format: 1\nsearch_part: {}\n");
    const std::string goal = with("goal.yaml", "{format: 1, goal: []}");
    const std::string open = with("open.yaml", "format: 1\ntitle: 'half a line\n");
    const std::string page = with("page.html", "<!doctype html>\n<p>The format: 1 of files</p>\n");
    const std::string notes = with("notes.txt", "oil: 5 W\n");

    struct Case {
        const char* what;
        program::Answer answer;
        std::vector<std::string> replaced;
    };
    const std::vector<Case> cases{{"a page", {}, {page, notes}},
                                  {"a variant of the fork", {base}, {page, notes, answer}},
                                  {"a variant of the shock", {other}, {page, notes}},
                                  {"part 1 of 2", {{}, {{1, 2}}}, {page, notes, part}},
                                  {"part 2 of 2", {{}, {{2, 2}}}, {page, notes, last}}};
    for (const Case& one : cases)
        for (const std::string& path :
             {base, other, answer, noted, part, last, edited, goal, open, page, notes}) {
            INFO(one.what << " at " << path);
            const bool may = std::find(one.replaced.begin(), one.replaced.end(), path) != one.replaced.end();
            if (may)
                CHECK_NOTHROW(program::check_output("--output", path, {}, one.answer));
            else
                CHECK_THROWS_WITH(program::check_output("--output", path, {}, one.answer),
                                  contains_text("--output: " + path + " is a ") &&
                                      contains_text("Give another name, or remove it"));
        }
    CHECK_THROWS_WITH(program::check_output("-o", goal, {}, {}), contains_text("is a goal, not an earlier"));
    CHECK_THROWS_WITH(program::check_output("-o", open, {}, {}), contains_text("with an error in it"));
}
