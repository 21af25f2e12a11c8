#include "messages.hpp"

#include <valve/core/text.hpp>

#include <spdlog/details/null_mutex.h>
#include <spdlog/sinks/base_sink.h>
#include <spdlog/spdlog.h>

#include <cstdio>
#include <memory>
#include <string_view>

namespace program {

namespace {

class HarmlessSink : public spdlog::sinks::base_sink<spdlog::details::null_mutex> {
protected:
    void sink_it_(const spdlog::details::log_msg& message) override {
        const std::string_view text(message.payload.data(), message.payload.size());
        const std::string line = valve::harmless(text) + "\n";
        std::fwrite(line.data(), 1, line.size(), stderr);
    }
    void flush_() override { std::fflush(stderr); }
};

spdlog::logger& logger() {
    static spdlog::logger one("valve", std::make_shared<HarmlessSink>());
    return one;
}

} // namespace

void log_warning(const std::string& message) {
    logger().warn(spdlog::string_view_t(message));
}

void log_error(const std::string& message) {
    logger().error(spdlog::string_view_t(message));
}

} // namespace program
