#include "whole_file.hpp"

#include <valve/setup/known_file.hpp>

#include <fmt/format.h>

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <random>
#include <system_error>
#include <utility>

#include "usage.hpp"

namespace program {

namespace {

namespace fs = std::filesystem;

constexpr mode_t new_file = 0666; // less what the user masks
constexpr mode_t permissions = 07777;
constexpr int most_names = 100; // tried

[[noreturn]] void fail(const std::string& path, int fault) {
    throw CannotWrite(fmt::format("{}: cannot be written: {}", path, std::generic_category().message(fault)));
}

/// Holds back what would end the program, so that nothing half-done is left; it comes through afterwards.
class NoInterrupt {
public:
    NoInterrupt() {
        sigset_t held;
        sigemptyset(&held);
        for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT})
            sigaddset(&held, signal);
        pthread_sigmask(SIG_BLOCK, &held, &m_before);
    }
    ~NoInterrupt() { pthread_sigmask(SIG_SETMASK, &m_before, nullptr); }
    NoInterrupt(const NoInterrupt&) = delete;
    NoInterrupt& operator=(const NoInterrupt&) = delete;

private:
    sigset_t m_before{};
};

/// An open file, closed at the end.
class Descriptor {
public:
    explicit Descriptor(int number) : m_number(number) {}
    ~Descriptor() {
        if (m_number >= 0) ::close(m_number);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;

    bool is_open() const { return m_number >= 0; }
    int number() const { return m_number; }

    /// Zero, or the error that closing met.
    int close() { return ::close(std::exchange(m_number, -1)) == 0 ? 0 : errno; }

private:
    int m_number = -1;
};

/// Where `path` leads, link by link; the last may lead to what is not there yet.
fs::path followed(const std::string& path) {
    constexpr int most_links = 40;
    fs::path here(path);
    std::error_code fault;
    for (int link = 0; fs::is_symlink(fs::symlink_status(here, fault)); ++link) {
        if (link == most_links) fail(path, ELOOP);
        const fs::path target = fs::read_symlink(here, fault);
        if (fault) fail(path, fault.value());
        here = here.parent_path() / target; // an absolute target stands alone
    }
    return here;
}

fs::path folder_of(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

/// A name beside `target` that is not likely to be there; to be tried with O_EXCL or linkat().
std::string name_beside(const fs::path& target) {
    static std::random_device random;
    return (folder_of(target) / fmt::format(".{}.{:08x}.part", target.filename().string(), random()))
        .string();
}

/// Zero, or the error that writing met.
int fill(int file, const std::string& text, mode_t mode, bool keeps_mode) {
    std::size_t done = 0;
    while (done < text.size()) {
        const ssize_t written = ::write(file, text.data() + done, text.size() - done);
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) return written < 0 ? errno : EIO;
        done += static_cast<std::size_t>(written);
    }
    if (keeps_mode && ::fchmod(file, mode) != 0) return errno;
    return ::fsync(file) == 0 ? 0 : errno;
}

/// A file without a name in the folder of `target`; not open where the file system has none such.
int open_nameless([[maybe_unused]] const fs::path& target) {
#ifdef O_TMPFILE
    return ::open(folder_of(target).c_str(), O_TMPFILE | O_WRONLY | O_CLOEXEC, new_file);
#else
    return -1;
#endif
}

/// Gives the nameless `file` the name `name`, which nobody has; zero or an error.
int give_name(int file, const std::string& name) {
    const std::string source = fmt::format("/proc/self/fd/{}", file);
    return ::linkat(AT_FDCWD, source.c_str(), AT_FDCWD, name.c_str(), AT_SYMLINK_FOLLOW) == 0 ? 0 : errno;
}

/// Puts the file named `part` in the place of `target`; zero or an error, and then no `part`.
int replace(const std::string& part, const fs::path& target) {
    if (std::rename(part.c_str(), target.c_str()) == 0) return 0;
    const int fault = errno;
    ::unlink(part.c_str());
    return fault;
}

/// Through a file without a name. False where this way is not to be had; `fault` tells an error of writing.
bool write_nameless(const fs::path& target, const std::string& text, mode_t mode, bool is_there, int& fault) {
    Descriptor file(open_nameless(target));
    if (!file.is_open()) return false;
    fault = fill(file.number(), text, mode, is_there);
    if (fault != 0) return true;
    if (!is_there) {
        const int named = give_name(file.number(), target.string());
        if (named == 0) return true;
        if (named != EEXIST) return false; // no /proc, or no links
    }
    const NoInterrupt held; // between the name beside and the right one
    for (int attempt = 0; attempt < most_names; ++attempt) {
        const std::string part = name_beside(target);
        const int named = give_name(file.number(), part);
        if (named == EEXIST) continue;
        if (named != 0) return false;
        fault = replace(part, target);
        return true;
    }
    fault = EEXIST;
    return true;
}

/// Through a file with a name of its own beside `target`; zero or an error.
int write_beside(const fs::path& target, const std::string& text, mode_t mode, bool keeps_mode) {
    const NoInterrupt held;
    for (int attempt = 0; attempt < most_names; ++attempt) {
        const std::string part = name_beside(target);
        Descriptor file(::open(part.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, new_file));
        if (!file.is_open() && errno == EEXIST) continue;
        if (!file.is_open()) return errno;
        int fault = fill(file.number(), text, mode, keeps_mode);
        if (const int closed = file.close(); fault == 0) fault = closed;
        if (fault == 0) return replace(part, target);
        ::unlink(part.c_str());
        return fault;
    }
    return EEXIST;
}

/// Puts the new name on the disk, where the file system can.
void sync_folder(const fs::path& target) {
    const Descriptor folder(::open(folder_of(target).c_str(), O_RDONLY | O_CLOEXEC));
    if (folder.is_open()) ::fsync(folder.number());
}

/// Whether what is `there` was written by a run that asked for the same kind of `answer`.
bool is_earlier(const valve::setup::KnownFile& there, const Answer& answer) {
    std::error_code ignored;
    if (!answer.variant_of.empty())
        return !there.variant_of.empty() && fs::equivalent(there.variant_of, answer.variant_of, ignored);
    return answer.part && there.part == answer.part;
}

} // namespace

void check_output(const std::string& option, const std::string& path, const std::vector<std::string>& inputs,
                  const Answer& answer) {
    std::error_code ignored;
    const fs::file_status status = fs::status(path, ignored);
    const auto refuse = [&](const std::string& why) {
        throw UsageError(fmt::format("{}: {} is {}", option, path, why));
    };
    if (fs::is_directory(status)) refuse("a folder; give the name of a file");
    if (fs::exists(status) && !fs::is_regular_file(status))
        refuse("a device or a pipe; give the name of a file");
    for (const std::string& input : inputs)
        if (fs::equivalent(path, input, ignored)) refuse("read as well; it would be lost. Give another name");
    const std::optional<valve::setup::KnownFile> there = valve::setup::known_file(path);
    if (there && !is_earlier(*there, answer))
        refuse(there->what +
               ", not an earlier answer to this; it would be lost. Give another name, or remove "
               "it first");
    // Before what may take long rather than after it.
    if (::access(folder_of(followed(path)).c_str(), W_OK | X_OK) != 0) fail(path, errno);
}

void write_whole(const std::string& path, const std::string& text) {
    const fs::path target = followed(path);
    struct stat before {};
    const bool is_there = ::stat(target.c_str(), &before) == 0;
    if (is_there && !S_ISREG(before.st_mode)) fail(path, S_ISDIR(before.st_mode) ? EISDIR : EINVAL);
    if (is_there && ::access(target.c_str(), W_OK) != 0) fail(path, errno);
    const mode_t mode = before.st_mode & permissions;
    int fault = 0;
    if (!write_nameless(target, text, mode, is_there, fault))
        fault = write_beside(target, text, mode, is_there);
    if (fault != 0) fail(path, fault);
    sync_folder(target);
}

} // namespace program
