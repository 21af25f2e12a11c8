// A user of the installed library: reads a set-up file and follows the lift of each of its stacks. Exits with
// 0 when every one lifts.
#include <valve/damper/spec.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>
#include <valve/stack/solution.hpp>

#include <cstdio>
#include <exception>

int main(int argc, char** argv) {
    try {
        const auto reading = valve::setup::read(valve::setup::Document::load(argc > 1 ? argv[1] : ""));
        for (const auto& valve : reading.unit.value().valves.at_place) {
            if (!valve) continue;
            const valve::stack::Solution solution(valve->stack);
            if (!(solution.curve().points.back().seat_lift > 0.0)) return 1;
        }
        return 0;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
}
