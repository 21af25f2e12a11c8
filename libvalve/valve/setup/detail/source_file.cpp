#include <valve/setup/detail/source_file.hpp>
#include <valve/setup/detail/yaml.hpp>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <string_view>
#include <system_error>
#include <utility>

namespace valve::setup {
namespace {

namespace fs = std::filesystem;

/// Why what is at `path` cannot be a file to read; empty for a file, and for what is not there.
std::string fault_of_kind(const std::string& path) {
    std::error_code ignored;
    switch (fs::status(path, ignored).type()) {
    case fs::file_type::directory:
        return "it is a folder";
    case fs::file_type::fifo:
        return "it is a pipe, not a file";
    case fs::file_type::block:
    case fs::file_type::character:
        return "it is a device, not a file";
    case fs::file_type::socket:
        return "it is a socket, not a file";
    default:
        return {};
    }
}

FileText plain(std::string text) {
    if (text.size() > largest_file) return {{}, "it is larger than 1 MB"};
    constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
    if (text.starts_with(byte_order_mark)) text.erase(0, byte_order_mark.size());
    return {std::move(text), {}};
}

/// The file that a chain of links at `path` ends at; `path` where there is none.
fs::path real_file(fs::path path) {
    constexpr int longest_chain = 40; // as systems allow
    std::error_code fault;
    for (int i = 0; i < longest_chain && fs::is_symlink(path, fault); ++i) {
        const fs::path target = fs::read_symlink(path, fault);
        if (fault) break;
        path = path.parent_path() / target;
    }
    return path;
}

/// `path` without its ".." where that means the same file: behind a link to a folder it does not.
std::string shortened(const fs::path& path) {
    std::error_code none;
    fs::path plain_path = path.lexically_normal();
    const bool leads_elsewhere = fs::exists(path, none) && !fs::equivalent(path, plain_path, none);
    return (leads_elsewhere ? path : plain_path).string();
}

std::string name_beside(const fs::path& name, const std::string& from) {
    return (name.parent_path() / fs::path(from)).lexically_normal().string();
}

} // namespace

FileText read_file(const std::string& path) {
    if (std::string fault = fault_of_kind(path); !fault.empty()) return {{}, std::move(fault)};
    std::ifstream file(path, std::ios::binary);
    if (!file) return {{}, std::generic_category().message(errno)};
    // One byte more than allowed tells a file that is too large, even one without an end.
    std::string text(largest_file + 1, '\0');
    file.read(text.data(), static_cast<std::streamsize>(text.size()));
    if (file.bad()) return {{}, "reading failed"};
    text.resize(static_cast<std::size_t>(file.gcount()));
    return plain(std::move(text));
}

Origin file_origin() {
    return {read_file,
            [](const std::string& name, const std::string& from) {
                return shortened(real_file(name).parent_path() / fs::path(from));
            },
            [](const std::string& a, const std::string& b) {
                std::error_code no_such_file; // then the names decide nothing and reading says why
                return fs::equivalent(a, b, no_such_file);
            }};
}

Origin memory_origin(std::function<std::optional<std::string>(const std::string& name)> text_of) {
    const auto read = [text_of = std::move(text_of)](const std::string& name) -> FileText {
        std::optional<std::string> text = text_of ? text_of(name) : std::nullopt;
        if (!text) return {{}, "there is no text of that name"};
        return plain(*std::move(text));
    };
    return {read, name_beside, std::equal_to<std::string>()};
}

} // namespace valve::setup
