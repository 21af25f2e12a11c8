#include <valve/setup/source_file.hpp>
#include <valve/setup/yaml.hpp>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <system_error>

namespace valve::setup {

FileText read_file(const std::string& path) {
    std::error_code ignored;
    if (std::filesystem::is_directory(path, ignored)) return {{}, "it is a folder"};
    std::ifstream file(path, std::ios::binary);
    if (!file) return {{}, std::generic_category().message(errno)};
    // One byte more than allowed tells a file that is too large, even one without an end.
    std::string text(largest_file + 1, '\0');
    file.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (file.bad()) return {{}, "reading failed"};
    text.resize(static_cast<std::size_t>(file.gcount()));
    if (text.size() > largest_file) return {{}, "it is larger than 1 MB"};
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    if (text.starts_with(byte_order_mark)) text.erase(0, byte_order_mark.size());
    return {std::move(text), {}};
}

} // namespace valve::setup
