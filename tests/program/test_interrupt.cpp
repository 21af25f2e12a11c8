#include <program/run.hpp>
#include <support/catch.hpp>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <string>

using namespace valve::tests;

TEST_CASE("an interrupt ends a command with a line that says so", "[program]") {
    const std::string errors = file_with("interrupted.txt", "");
    std::array<int, 2> out{};
    REQUIRE(pipe(out.data()) == 0);
    const pid_t child = fork();
    if (child == 0) {
        std::signal(SIGINT, SIG_DFL);
        dup2(out[1], STDOUT_FILENO);
        dup2(open(errors.c_str(), O_WRONLY), STDERR_FILENO);
        close(out[0]);
        close(out[1]);
        if (chdir(VALVE_SOURCE_DIR) != 0) _exit(1);
        // More text than a pipe holds: it waits for a reader when it has begun to write.
        execl(VALVE_PROGRAM, "valve", "cycle", "stacks/rally-fork.yaml", "--frequencies", "4,8,12,16",
              "--theory", "linear", "--json", static_cast<char*>(nullptr));
        _exit(1);
    }
    REQUIRE(child > 0);
    close(out[1]);
    char first = 0;
    CHECK(read(out[0], &first, 1) == 1);
    CHECK(first == '{');
    CHECK(kill(child, SIGINT) == 0);
    int status = 0;
    CHECK(waitpid(child, &status, 0) == child);
    close(out[0]);
    CHECK(WIFSIGNALED(status));
    CHECK(WTERMSIG(status) == SIGINT);
    CHECK(content(errors) == "interrupted before the whole answer was told\n");
}
