#pragma once

#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

/// Works in a folder while it lives, so that messages name files without it.
class WorkingFolder {
public:
    explicit WorkingFolder(const std::string& path) { std::filesystem::current_path(path); }
    ~WorkingFolder() { std::filesystem::current_path(m_before); }
    WorkingFolder(const WorkingFolder&) = delete;
    WorkingFolder& operator=(const WorkingFolder&) = delete;

private:
    std::filesystem::path m_before = std::filesystem::current_path();
};

/// Checks that `read` refuses every file of `folder` with the message that stands beside it; how many there
/// are.
inline std::size_t check_bad_files(const std::string& folder,
                                   const std::function<void(const std::string& name)>& read) {
    const WorkingFolder bad(folder);
    std::vector<std::string> names;
    for (const auto& entry : std::filesystem::directory_iterator("."))
        if (entry.path().extension() == ".yaml") names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    for (const std::string& name : names) {
        INFO("file: " << name);
        std::string message = "no message";
        try {
            read(name);
        } catch (const valve::InputError& error) {
            message = error.what();
        }
        CHECK(message + "\n" == file_text(std::filesystem::path(name).replace_extension("txt").string()));
    }
    std::printf("counted: %zu wrong files, each with the message beside it\n", names.size());
    return names.size();
}
