#include "help.hpp"

#include <valve/report/text.hpp>

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

namespace program {

namespace {

class Layout : public CLI::Formatter {
public:
    std::string make_option(const CLI::Option* option, bool is_positional) const override {
        constexpr std::size_t left_columns = 30;
        constexpr std::size_t right_columns = 68;
        std::string left = "  " + make_option_name(option, is_positional) + make_option_opts(option);
        const std::string margin(left_columns, ' ');
        if (valve::report::width(left) + 2 > left_columns) {
            left += "\n" + margin;
        } else {
            left = valve::report::pad_right(left, left_columns);
        }
        return left + valve::report::wrapped(make_option_desc(option), right_columns, margin) + "\n";
    }
};

} // namespace

std::shared_ptr<CLI::FormatterBase> help_layout() {
    return std::make_shared<Layout>();
}

void set_footer(CLI::App& command, const std::string& example, const std::string& caution) {
    command.footer(fmt::format("Example:\n{}\n\n{}\n", example, caution));
}

} // namespace program
