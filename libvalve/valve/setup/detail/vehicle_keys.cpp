#include <valve/damper/linkage.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>

#include <fmt/format.h>

#include <memory>
#include <utility>

namespace valve::setup {
namespace {

/// A list of quantities.
Key quantities(std::string name, std::vector<double>& target, std::string_view unit, Range range,
               std::string doc) {
    const auto read = [&target, unit, range](const Node& value, const std::string& path, Reader&) {
        if (value.kind != Node::Kind::list)
            fail(value.place, path,
                 fmt::format("expected a list of quantities in {}, e.g. [0, 100, 300], but found {}", unit,
                             described(value)));
        target.clear();
        for (const Node& item : value.items)
            read_quantity(item, path,
                          Quantity{unit, range, [&target](double number) { target.push_back(number); }, {}});
    };
    return form(std::move(name), "list of quantities", read, std::move(doc));
}

Keys tyre_keys(motion::Tyre& tyre) {
    return {
        usual(
            50.0, 500.0, "tyres have 100 to 350 N/mm; is it in N/mm?",
            quantity("rate", tyre.rate, "N/mm", above_to(0.0, 5000.0), "vertical, of the tyre as inflated")),
        quantity("damping", tyre.damping, "N s/m", from_to(0.0, 1e5), "of the tyre"),
        usual(
            0.15, 0.6, "the radius of a wheel with its tyre is in m; is it?",
            quantity("radius", tyre.radius, "m", from_to(0.0, 2.0), "of the wheel with its tyre, unloaded")),
    };
}

Keys linkage_keys(damper::LinkageTable& table) {
    const Range travels = from_to(0.0, 2000.0); // [mm]
    return {
        required(
            quantities("wheel_travel", table.wheel_travel, "mm", travels, "of the wheel, rising from 0")),
        required(quantities("travel", table.travel, "mm", travels, "of the shock at each, rising from 0")),
    };
}

Keys vehicle_keys(VehicleText& text) {
    motion::Vehicle& vehicle = text.known;
    return {
        required(usual(3.0, 60.0, "a wheel with what moves with it has 10 to 30 kg; is it in kg?",
                       quantity("unsprung", vehicle.unsprung, "kg", above_to(0.0, 500.0),
                                "wheel, brake and what moves with them"))),
        map("tyre", vehicle.tyre, tyre_keys, "spring and damper of the tyre"),
        map("linkage", text.linkage, linkage_keys, "of a shock, in place of motion_ratio"),
    };
}

} // namespace

std::optional<VehicleText> read_vehicle(const Node& node, const std::string& path, Reader& reader) {
    if (node.kind == Node::Kind::null || (node.kind == Node::Kind::map && node.members.empty()))
        return std::nullopt;
    VehicleText text;
    reader.read(node, path, vehicle_keys(text));
    reader.take(motion::check(text.known), path);
    if (text.linkage) reader.take(damper::check(*text.linkage), joined(path, "linkage"));
    return text;
}

std::function<Keys()> vehicle_reference_keys() {
    return [text = std::make_shared<VehicleText>()] { return vehicle_keys(*text); };
}

} // namespace valve::setup
