#include <speed/stacks.hpp>

namespace valve::validation::speed {
namespace {

constexpr double mm = 1e-3; // [m]

void add(stack::Stack& stack, double radius_mm, double thickness_mm) {
    stack.shims.push_back({radius_mm * mm, thickness_mm * mm, {}});
}

} // namespace

stack::Stack bare_stack() {
    stack::Stack stack;
    stack.clamp_radius = stack.bore_radius = 6.0 * mm;
    stack.zone = {8.0 * mm, 14.5 * mm};
    stack.seat = {14.5 * mm, 14.5 * mm, 0.0};
    return stack;
}

stack::Stack twelve_shims() {
    stack::Stack stack = bare_stack();
    for (int i = 0; i < 6; ++i)
        add(stack, 15.0, 0.1);
    add(stack, 9.0, 0.1);
    for (const double radius : {14.0, 13.0, 12.0, 11.0, 10.0})
        add(stack, radius, 0.1);
    return stack;
}

stack::Stack five_shims() {
    stack::Stack stack = bare_stack();
    add(stack, 15.0, 0.1);
    add(stack, 15.0, 0.1);
    add(stack, 9.0, 0.05);
    add(stack, 14.0, 0.1);
    add(stack, 11.0, 0.1);
    return stack;
}

stack::Stack tapering(int count) {
    stack::Stack stack = bare_stack();
    const int equal = (count + 1) / 2;
    for (int i = 0; i < equal; ++i)
        add(stack, 15.0, 0.1);
    for (int i = equal; i < count; ++i)
        add(stack, 15.0 - 7.0 * (i - equal + 1) / (count - equal), 0.1);
    return stack;
}

} // namespace valve::validation::speed
