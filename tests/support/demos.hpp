#pragma once

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

/// Every set-up in stacks/, by name; the table of words is none.
inline std::vector<std::string> demo_files() {
    std::vector<std::string> files;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::filesystem::path(VALVE_SOURCE_DIR) / "stacks"))
        if (entry.path().extension() == ".yaml" && entry.path().filename() != "words.yaml")
            files.push_back(entry.path().string());
    std::sort(files.begin(), files.end());
    return files;
}
