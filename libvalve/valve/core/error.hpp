#pragma once

#include <stdexcept>
#include <string>
#include <vector>

namespace valve {

/// Base of every exception the library throws for a reason a user can mend.
/// Misuse of the library by a programmer throws std::invalid_argument instead.
class Error : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// A set-up that cannot be read or built. what() is the whole message a user sees.
class InputError : public Error {
public:
    using Error::Error;
};

/// A model asked beyond what it can answer; what() says at which pressure, speed or travel and what to try.
class SolveError : public Error {
public:
    using Error::Error;
};

/// Something a module has to say about values it was given, before any solving.
/// `key` is the dotted path below the struct that was checked ("seat.outer"), so that the reader of the
/// file can point at the place; `other_key` is the second key where two conflict, else empty.
struct Finding {
    enum class Severity { error, warning };

    Severity severity = Severity::error;
    std::string key;
    std::string other_key;
    std::string message;
};

using Findings = std::vector<Finding>;

} // namespace valve
