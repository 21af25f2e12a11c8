#pragma once

#include <valve/setup/read.hpp>

#include <filesystem>
#include <fstream>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

/// A folder of files that a test writes and that goes with it.
class Folder {
public:
    Folder() {
        const std::filesystem::path temporary = std::filesystem::temp_directory_path();
        for (int i = 0; m_path.empty(); ++i) {
            const auto candidate = temporary / ("valve-test-" + std::to_string(i));
            if (std::filesystem::create_directory(candidate)) m_path = candidate;
        }
    }
    ~Folder() { std::filesystem::remove_all(m_path); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    /// Writes a file and returns its path.
    std::string write(const std::string& name, std::string_view text) const {
        const std::filesystem::path path = m_path / name;
        std::filesystem::create_directories(path.parent_path());
        std::ofstream(path, std::ios::binary) << text;
        return path.string();
    }

private:
    std::filesystem::path m_path;
};

inline std::string test_file(const std::string& name) {
    return std::string(VALVE_SOURCE_DIR) + "/tests/setup/" + name;
}

inline std::string file_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) throw std::runtime_error("cannot read " + path);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// Reads the demo fork with overrides.
inline valve::setup::Reading read_example(const std::vector<valve::setup::Override>& overrides = {}) {
    return valve::setup::read(valve::setup::Document::load(test_file("example.yaml"), overrides));
}

/// The default used for `key`, empty if none was.
inline std::string default_of(const valve::setup::Reading& reading, std::string_view key) {
    for (const valve::setup::DefaultUsed& used : reading.defaults)
        if (used.key == key) return used.value;
    return {};
}
