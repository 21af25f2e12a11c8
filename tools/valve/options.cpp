#include "options.hpp"

#include <valve/core/error.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/report/text.hpp>

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <string_view>

#include "usage.hpp"

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

/// "there is no option --sped; did you mean '--speeds'?" of the first word of the command line that is no
/// command, or no option of the command that was given; nothing where all are.
std::string slip(const CLI::App& app, const std::vector<std::string>& words) {
    const CLI::App* command = nullptr;
    std::vector<std::string> commands;
    for (const CLI::App* one : app.get_subcommands([](const CLI::App*) { return true; }))
        commands.push_back(one->get_name());
    for (const std::string& word : words) {
        if (word == "--") break; // no option comes after that
        if (word.rfind("--", 0) == 0) {
            const std::string name = word.substr(0, word.find('='));
            std::vector<std::string> options;
            for (const CLI::Option* option : (command != nullptr ? command : &app)->get_options())
                for (const std::string& known : option->get_lnames())
                    options.push_back("--" + known);
            if (std::find(options.begin(), options.end(), name) == options.end())
                return fmt::format("there is no option {}{}", name, valve::did_you_mean(name, options));
        } else if (command == nullptr) {
            if (std::find(commands.begin(), commands.end(), word) == commands.end())
                return fmt::format("there is no command '{}'{}", word, valve::did_you_mean(word, commands));
            command = app.get_subcommand(word);
        }
    }
    return {};
}

/// "ride " where the first word without a dash is a command; else nothing.
std::string command_in(const CLI::App& app, const std::vector<std::string>& words) {
    const auto first = std::find_if(words.begin(), words.end(),
                                    [](const std::string& word) { return word.rfind('-', 0) != 0; });
    if (first == words.end()) return {};
    for (const CLI::App* one : app.get_subcommands([](const CLI::App*) { return true; }))
        if (one->get_name() == *first) return *first + " ";
    return {};
}

/// Names of an option as a message has them: of "--frequency,--frequencies" the first.
std::string first_name(const std::string& names) {
    return names.substr(0, names.find(','));
}

/// What stands between commas. Throws UsageError where that is nothing.
std::vector<std::string> between_commas(const std::string& option, const std::vector<std::string>& texts) {
    std::vector<std::string> parts;
    for (const std::string& text : texts) {
        std::string_view rest = text;
        for (bool is_last = false; !is_last;) {
            const std::size_t end = std::min(rest.find(','), rest.size());
            is_last = end == rest.size();
            parts.emplace_back(rest.substr(0, end));
            if (valve::trimmed(parts.back()).empty())
                throw UsageError(fmt::format("{}: nothing stands at a comma of '{}'", option, text));
            rest.remove_prefix(std::min(end + 1, rest.size()));
        }
    }
    return parts;
}

} // namespace

double quantity_of(const std::string& option, const std::string& text, const char* bare_unit) {
    try {
        return valve::parse_quantity(text, bare_unit);
    } catch (const valve::InputError& error) {
        throw UsageError(fmt::format("{}: {}", option, error.what()));
    }
}

std::vector<double> quantities_of(const std::string& option, const std::vector<std::string>& texts,
                                  const char* bare_unit) {
    const auto has_unit = [](const std::string& text) {
        const std::string_view number = valve::trimmed(text);
        return !number.empty() && number.back() != '.' && (number.back() < '0' || number.back() > '9');
    };
    std::vector<double> values;
    for (const std::string& text : texts)
        values.push_back(quantity_of(option, text, bare_unit));
    const auto with_unit = std::count_if(texts.begin(), texts.end(), has_unit);
    if (with_unit != 0 && with_unit != static_cast<std::ptrdiff_t>(texts.size()))
        throw UsageError(
            fmt::format("{}: give each number its unit, or none, which means {}", option, bare_unit));
    return values;
}

Option Option::option_text(const std::string& text) const {
    m_option->option_text(text);
    return *this;
}

Option Option::required() const {
    m_option->required();
    return *this;
}

Option Option::excludes(const Option& other) const {
    m_option->excludes(other.m_option);
    return *this;
}

Option Command::add_option(const std::string& name, std::string& value,
                           const std::string& description) const {
    return Option(*m_command->add_option(name, value, description));
}

Option Command::add_option(const std::string& name, std::vector<std::string>& values,
                           const std::string& description) const {
    return Option(*m_command->add_option(name, values, description)->allow_extra_args(false));
}

Option Command::add_option(const std::string& name, const std::function<void(const std::string&)>& read,
                           const std::string& description) const {
    return Option(*m_command->add_option_function<std::string>(name, read, description));
}

Option Command::add_arguments(const std::string& name, std::vector<std::string>& values,
                              const std::string& description) const {
    return Option(*m_command->add_option(name, values, description));
}

Option Command::add_list(const std::string& name, std::vector<std::string>& values,
                         const std::string& description) const {
    return Option(*m_command->add_option(name, values, description)->delimiter(',')->allow_extra_args(false));
}

Option Command::add_choice(const std::string& name, const std::vector<std::string>& choices,
                           std::string& value, const std::string& description) const {
    return add_choice(
        name, choices, [&value](const std::string& given) { value = given; }, description);
}

Option Command::add_choice(const std::string& name, const std::vector<std::string>& choices,
                           const std::function<void(const std::string&)>& take,
                           const std::string& description) const {
    const std::string names = fmt::format("{}", fmt::join(choices, "|"));
    const auto read = [name, names, choices, take](const std::string& given) {
        if (std::find(choices.begin(), choices.end(), given) == choices.end())
            throw UsageError(fmt::format("{}: expected {}, got '{}'", name, names, given));
        take(given);
    };
    return add_option(name, read, description).option_text(names);
}

Option Command::add_quantity(const std::string& name, std::optional<double>& value, const char* bare_unit,
                             const std::string& description) const {
    const auto read = [name = first_name(name), bare_unit, &value](const std::string& text) {
        value = quantity_of(name, text, bare_unit);
    };
    return add_option(name, read, description);
}

Option Command::add_quantity(const std::string& name, double& value, const char* bare_unit,
                             const std::string& description) const {
    const auto read = [name = first_name(name), bare_unit, &value](const std::string& text) {
        value = quantity_of(name, text, bare_unit);
    };
    return add_option(name, read, description);
}

Option Command::add_quantities(const std::string& name, std::vector<double>& values, const char* bare_unit,
                               const std::string& description) const {
    const auto read = [name = first_name(name), bare_unit, &values](const std::vector<std::string>& texts) {
        values = quantities_of(name, between_commas(name, texts), bare_unit);
    };
    return Option(*m_command->add_option_function<std::vector<std::string>>(name, read, description)
                       ->allow_extra_args(false));
}

Option Command::add_flag(const std::string& name, bool& value, const std::string& description) const {
    return Option(*m_command->add_flag(name, value, description));
}

Option Command::add_flag(const std::string& name, const std::function<void()>& set,
                         const std::string& description) const {
    return Option(*m_command->add_flag_callback(name, set, description));
}

void Command::set_footer(const std::string& example, const std::string& caution) const {
    m_command->footer(fmt::format("Example:\n{}\n\n{}\n", example, caution));
}

void Command::callback(const std::function<void()>& run) const {
    m_command->callback(run);
}

CommandLine::CommandLine(const std::string& name, const std::string& version, const std::string& purpose,
                         const std::string& footer)
    : m_app(std::make_unique<CLI::App>(purpose, name)) {
    m_app->formatter(std::make_shared<Layout>());
    m_app->require_subcommand(1);
    m_app->set_version_flag("--version", version);
    m_app->footer(footer);
}

CommandLine::~CommandLine() = default;

Command CommandLine::add_command(const std::string& name, const std::string& description) {
    return Command(*m_app->add_subcommand(name, description));
}

std::optional<std::string> CommandLine::run(int argc, char** argv) {
    try {
        m_app->parse(argc, argv);
        return std::nullopt;
    } catch (const CLI::CallForHelp&) {
        return m_app->help(); // of the command, where one is given
    } catch (const CLI::CallForVersion& version) {
        return std::string(version.what()) + "\n";
    } catch (const CLI::ParseError& error) {
        const std::vector<std::string> words{argv + 1, argv + argc};
        const std::string found = slip(*m_app, words);
        throw UsageError(fmt::format("{}; see valve {}--help", found.empty() ? error.what() : found,
                                     command_in(*m_app, words)));
    }
}

} // namespace program
