#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace CLI { // NOLINT(readability-identifier-naming): its own name
class App;
class Option;
} // namespace CLI

namespace program {

/// What an option says, in SI: `text` is a number with a unit, or a bare one, which is in `bare_unit`. Throws
/// UsageError that names the option.
double quantity_of(const std::string& option, const std::string& text, const char* bare_unit);

/// The same of several, each with its unit or none: "1 m/s,2 m/s", but not "1,2 m/s", which would be 1 of the
/// bare unit.
std::vector<double> quantities_of(const std::string& option, const std::vector<std::string>& texts,
                                  const char* bare_unit);

/// An option or argument of a command, to say more of it.
class Option {
public:
    explicit Option(CLI::Option& option) : m_option(&option) {}

    /// What stands for its value in the help; " " for nothing.
    Option option_text(const std::string& text) const;
    Option required() const;
    /// Not together with `other`.
    Option excludes(const Option& other) const;

private:
    CLI::Option* m_option;
};

/// A command and what can be asked of it. What values are bound to must live until the command has run. The
/// library that reads command lines takes long to compile; options.cpp alone includes it.
class Command {
public:
    explicit Command(CLI::App& command) : m_command(&command) {}

    /// An option ("--name", "-n,--name"), or an argument ("NAME"), of one value.
    Option add_option(const std::string& name, std::string& value, const std::string& description) const;
    /// An option that may be repeated, one value each time.
    Option add_option(const std::string& name, std::vector<std::string>& values,
                      const std::string& description) const;
    /// An option whose value is read by `read`, which may throw UsageError.
    Option add_option(const std::string& name, const std::function<void(const std::string&)>& read,
                      const std::string& description) const;
    /// An argument of one value or more.
    Option add_arguments(const std::string& name, std::vector<std::string>& values,
                         const std::string& description) const;
    /// An option with values between commas.
    Option add_list(const std::string& name, std::vector<std::string>& values,
                    const std::string& description) const;
    /// One of `choices`, which goes to `value` or is handed to `take`.
    Option add_choice(const std::string& name, const std::vector<std::string>& choices, std::string& value,
                      const std::string& description) const;
    Option add_choice(const std::string& name, const std::vector<std::string>& choices,
                      const std::function<void(const std::string&)>& take,
                      const std::string& description) const;
    /// A quantity [SI]; a bare number is in `bare_unit`.
    Option add_quantity(const std::string& name, std::optional<double>& value, const char* bare_unit,
                        const std::string& description) const;
    Option add_quantity(const std::string& name, double& value, const char* bare_unit,
                        const std::string& description) const;
    /// Quantities [SI] between commas.
    Option add_quantities(const std::string& name, std::vector<double>& values, const char* bare_unit,
                          const std::string& description) const;
    Option add_flag(const std::string& name, bool& value, const std::string& description) const;
    Option add_flag(const std::string& name, const std::function<void()>& set,
                    const std::string& description) const;

    /// Example and cautions under the help.
    void set_footer(const std::string& example, const std::string& caution) const;
    /// What runs once the command line is read.
    void callback(const std::function<void()>& run) const;

private:
    CLI::App* m_command;
};

/// The command line of a program that has commands.
class CommandLine {
public:
    /// `purpose` stands above the help, laid out for a terminal of 100 columns, `footer` below.
    CommandLine(const std::string& name, const std::string& version, const std::string& purpose,
                const std::string& footer);
    ~CommandLine();
    CommandLine(const CommandLine&) = delete;
    CommandLine& operator=(const CommandLine&) = delete;

    Command add_command(const std::string& name, const std::string& description);

    /// Runs the command that is named. What to print where help or the version was asked for instead. Throws
    /// UsageError, with the nearest name where one was misspelt, and whatever the command throws.
    std::optional<std::string> run(int argc, char** argv);

private:
    std::unique_ptr<CLI::App> m_app;
};

} // namespace program
