#include <valve/stack/detail/canonical.hpp>

#include <bit>
#include <optional>

namespace valve::stack {
namespace {

/// Mixes values into a hash, one after the other. Source of the mixing: steele_lea_flood_2014, with the
/// constants of variant 13. Nothing but the spread of the hash hangs on them.
class Mixer {
public:
    void add(std::uint64_t value) {
        m_hash += 0x9e3779b97f4a7c15U + value;
        m_hash = (m_hash ^ (m_hash >> 30)) * 0xbf58476d1ce4e5b9U;
        m_hash = (m_hash ^ (m_hash >> 27)) * 0x94d049bb133111ebU;
        m_hash ^= m_hash >> 31;
    }
    void add(double value) { add(std::bit_cast<std::uint64_t>(value + 0.0)); } // −0 is 0
    void add(const std::optional<double>& value) {
        add(value ? std::uint64_t{1} : std::uint64_t{0});
        if (value) add(*value);
    }
    template <class... Values>
    void add_all(const Values&... values) {
        (add(values), ...);
    }

    std::uint64_t hash() const { return m_hash; }

private:
    std::uint64_t m_hash = 0;
};

std::uint64_t number(int value) {
    return static_cast<std::uint64_t>(value);
}

} // namespace

Stack canonical(const Stack& stack) {
    Stack result = stack;
    if (result.floating) {
        result.floating->adjuster.reset();
        return result;
    }
    result.bore_radius = result.clamp_radius;
    for (Shim& shim : result.shims)
        if (is_spacer(stack, shim)) shim = {result.clamp_radius, shim.thickness, {}};
    return result;
}

std::uint64_t fingerprint(const Stack& stack, const FollowOptions& options) {
    Mixer mixer;
    mixer.add(static_cast<std::uint64_t>(stack.shims.size()));
    for (const Shim& shim : stack.shims) {
        const plate::Material& strip = shim.material;
        mixer.add_all(shim.outer_radius, shim.thickness, strip.youngs_modulus, strip.poisson_ratio,
                      strip.density, strip.yield_strength, strip.fatigue_limit);
    }
    mixer.add(number(stack.disc ? 1 : 0));
    if (stack.disc) mixer.add_all(stack.disc->outer_radius, stack.disc->mass);
    mixer.add_all(stack.clamp_radius, stack.bore_radius, stack.zone.inner_radius, stack.zone.outer_radius,
                  stack.coverage, number(stack.windows), stack.seat.inner_radius, stack.seat.outer_radius,
                  stack.seat.height, number(static_cast<int>(stack.edge)));
    mixer.add(number(stack.floating ? 1 : 0));
    if (stack.floating) {
        const Float& f = *stack.floating;
        mixer.add_all(f.travel, f.spring_rate, f.preload, f.ring_radius, f.spring_radius, f.stop_radius,
                      number(static_cast<int>(f.rests_on)));
    }
    mixer.add_all(number(static_cast<int>(options.theory)), options.max_pressure);
    return mixer.hash();
}

} // namespace valve::stack
