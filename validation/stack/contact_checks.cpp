#include <frame/numbers.hpp>
#include <stack/one_shim.hpp>
#include <stack/parts.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

namespace valve::validation {
namespace {

struct Cut {
    double radius_mm;
    double thickness_mm;
};

std::string name_of(const std::vector<Cut>& cuts) {
    std::string name;
    for (const Cut& cut : cuts)
        name += fmt::format("{}{}x{}", name.empty() ? "" : " ", cut.radius_mm, cut.thickness_mm);
    return name;
}

/// Shims with a clamp of 6 mm, from the piston face.
stack::Stack stack_of(const std::vector<Cut>& cuts) {
    stack::Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    for (const Cut& cut : cuts)
        stack.shims.push_back({1e-3 * cut.radius_mm, 1e-3 * cut.thickness_mm, {}});
    return stack;
}

void add(Recorder& recorder, const std::string& group, std::size_t shim, double tip) {
    const std::string quantity = fmt::format("tip {}", shim);
    recorder.add(
        {fmt::format("stack {} (radii, mm), {}", group, quantity),
         {"", "rings of force on closed influence functions, no tension between shims, "
              "references/stacks.py"},
         Kind::computed_reference,
         numbers("stacks").at(group, quantity),
         tip,
         relative(1e-5, "six digits in the reference; contact at its radii, or at nodes of the mesh"),
         "m"});
}

/// 1 bar from 8 mm to the rim of the face shim.
void pressed(Recorder& recorder, const std::vector<Cut>& cuts) {
    stack::Stack stack = stack_of(cuts);
    stack.zone = {8e-3, 15e-3};
    stack.seat = {15e-3, 15e-3, 0.0};
    const stack::StackShape bent = solved(stack, std::array{1e5}, stack::Theory::linear).front();
    for (std::size_t i = 0; i < cuts.size(); ++i)
        add(recorder, name_of(cuts) + ": 1 bar from 8", i + 1, bent.shims[i].lift.back());
}

/// 10 N at the rim of the largest shim. It is the spring of a float, which pushes on the last shim, so that
/// the stack lies upside down: the largest last, all held by a hub and level there.
void pushed(Recorder& recorder, const std::vector<Cut>& cuts) {
    stack::Stack stack = stack_of({cuts.rbegin(), cuts.rend()});
    const double face = stack.shims.front().outer_radius;
    stack.edge = stack::InnerEdge::guided;
    stack.zone = {stack.clamp_radius, face};
    stack.seat = {face, face, far_below};
    stack.floating = soft_float(10.0, stack.clamp_radius, 15e-3, stack::RestsOn::hub);
    const stack::StackShape bent = solved(stack, std::array{0.0}, stack::Theory::linear).front();
    for (std::size_t i = 0; i < cuts.size(); ++i)
        add(recorder, name_of(cuts) + ": 10 N at 15", i + 1, -bent.shims[cuts.size() - 1 - i].lift.back());
}

} // namespace

void contact_checks(Recorder& recorder) {
    for (const std::vector<Cut>& cuts : std::vector<std::vector<Cut>>{{{15, 0.2}},
                                                                      {{15, 0.2}, {12, 0.2}},
                                                                      {{15, 0.2}, {12, 0.3}},
                                                                      {{15, 0.2}, {12, 0.2}, {9, 0.2}},
                                                                      {{15, 0.2}, {9, 0.1}, {13, 0.2}}}) {
        pressed(recorder, cuts);
        pushed(recorder, cuts);
    }
}

} // namespace valve::validation
