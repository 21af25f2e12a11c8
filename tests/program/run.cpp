#include <program/run.hpp>

#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace valve::tests {

namespace {

/// A folder of this process, removed at its end.
class Folder {
public:
    Folder() : m_path(std::filesystem::temp_directory_path() / ("valve-tests-" + std::to_string(getpid()))) {
        std::filesystem::create_directories(m_path);
    }
    ~Folder() {
        std::error_code ignored; // a folder left behind is no failure of a test
        std::filesystem::remove_all(m_path, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    std::string file(const std::string& name) const { return (m_path / name).string(); }

private:
    std::filesystem::path m_path;
};

const Folder& folder() {
    static const Folder folder;
    return folder;
}

} // namespace

std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

Run shell(const std::string& line) {
    const std::string out = folder().file("out");
    const std::string err = folder().file("err");
    const std::string command =
        "cd '" VALVE_SOURCE_DIR "' && { " + line + "\n} >'" + out + "' 2>'" + err + "'";
    const int raw = std::system(command.c_str()); // NOLINT(cert-env33-c): a shell is what a user has
    if (raw == -1) throw std::runtime_error("no shell");
    const int status = WIFEXITED(raw) ? WEXITSTATUS(raw) : 128 + WTERMSIG(raw);
    return {status, content(out), content(err)};
}

Run run(const std::string& arguments) {
    return shell("'" VALVE_PROGRAM "' " + arguments);
}

std::string file_with(const std::string& name, const std::string& text) {
    std::string path = folder().file(name);
    std::ofstream(path, std::ios::binary) << text;
    return path;
}

} // namespace valve::tests
