#pragma once

#include <valve/setup/drawer.hpp>

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <vector>

namespace valve::study {

/// A stack made of sizes at hand: their indices, from the piston face.
using Pile = std::vector<int>;

/// How many of each size.
using Counts = std::vector<int>;

/// In which order shims may lie.
enum class PileOrder {
    taper, ///< no shim is larger than the one before it; of equal diameters the thinner comes first
    any    ///< any order behind a face shim that covers the seat
};

/// Random numbers that are the same everywhere. Source: steele_lea_flood_2014.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : m_state(seed) {}

    std::uint64_t next();
    double share();                     ///< from 0 up to, not including, 1
    std::size_t below(std::size_t end); ///< from 0 to `end` − 1

private:
    std::uint64_t m_state;
};

/// Every stack that can be built from what is at hand in the room there is.
class StackFamily {
public:
    struct Limits {
        std::vector<setup::ShimSize> sizes; ///< larger diameters first, of equal ones the thinner
        double face_radius = 0.0;           ///< that the face shim has at least, to cover the seat [m]
        double largest_radius = 0.0;        ///< that fits the place [m]
        double smallest_radius = 0.0;       ///< that bends, or that a ring of the float needs [m]
        double height = 0.0;                ///< of all shims together at most [m]
        PileOrder order = PileOrder::taper;
    };

    explicit StackFamily(Limits limits);
    ~StackFamily();
    StackFamily(const StackFamily&) = delete; // its ways refer to it
    StackFamily& operator=(const StackFamily&) = delete;

    const Limits& limits() const { return m_limits; }

    /// How many stacks there are; above 2^53 rounded.
    double size() const;

    /// Calls `visit` for every stack within `at_hand`, always in the same order, until it says false.
    /// False where it did.
    bool for_each(const Counts& at_hand, const std::function<bool(const Pile&)>& visit) const;

    /// One of the family, each as likely as any other; empty where there is none.
    Pile sample(Dice& dice) const;

    /// The stacks one step from `pile` within `at_hand`, each once: a shim more, one less, one exchanged for
    /// another size, and in any order two neighbours swapped, too.
    std::vector<Pile> neighbours(const Pile& pile, const Counts& at_hand) const;

    /// Whether `pile` is one of the family within `at_hand`.
    bool contains(const Pile& pile, const Counts& at_hand) const;

    double height(const Pile& pile) const; ///< [m]

private:
    class Ways;

    bool may_lie(std::size_t size) const;
    bool covers(std::size_t size) const;
    bool extend(Pile& pile, Counts& left, long room, const std::function<bool(const Pile&)>& visit) const;
    long thickness(std::size_t size) const { return m_thickness[size]; }

    Limits m_limits;
    std::vector<long> m_thickness; ///< of each size, in common steps
    long m_room = 0;               ///< in the same steps
    std::vector<std::unique_ptr<Ways>> m_ways;
    double m_size = 0.0;
};

/// The sizes of `pile` counted, of `sizes` sizes.
Counts counts_of(const Pile& pile, std::size_t sizes);

/// Shims that have to be put in or taken out to make `to` of `from`, one exchanged counting once: what is
/// left of the longer one beside the longest run that both have in order.
int changed_shims(const Pile& from, const Pile& to);

} // namespace valve::study
