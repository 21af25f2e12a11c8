#include "whole_file.hpp"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <system_error>

namespace program {

namespace {

/// Zero, or the error that writing met.
int write(const std::string& path, const std::string& text) {
    std::FILE* file = std::fopen(path.c_str(), "wb");
    if (file == nullptr) return errno;
    errno = 0;
    const bool written = std::fwrite(text.data(), 1, text.size(), file) == text.size();
    const int fault = errno;
    const bool closed = std::fclose(file) == 0;
    if (!written) return fault != 0 ? fault : EIO;
    return closed ? 0 : errno;
}

} // namespace

void write_whole(const std::string& path, const std::string& text) {
    const std::string part = path + ".part"; // beside it, so that the renaming stays within one file system
    std::error_code ignored;
    if (const int fault = write(part, text); fault != 0) {
        std::filesystem::remove(part, ignored);
        throw CannotWrite(
            fmt::format("{}: cannot be written: {}", path, std::generic_category().message(fault)));
    }
    std::error_code fault;
    std::filesystem::rename(part, path, fault);
    if (!fault) return;
    std::filesystem::remove(part, ignored);
    throw CannotWrite(fmt::format("{}: cannot be written: {}", path, fault.message()));
}

} // namespace program
