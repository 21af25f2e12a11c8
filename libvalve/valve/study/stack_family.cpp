#include <valve/core/detail/index.hpp>
#include <valve/plate/edge.hpp>
#include <valve/study/stack_family.hpp>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

namespace valve::study {

namespace {

long in_micrometres(double length) {
    return std::lround(1e6 * length);
}

} // namespace

std::uint64_t Dice::next() {
    m_state += 0x9e3779b97f4a7c15U;
    std::uint64_t mixed = m_state;
    mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9U;
    mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebU;
    return mixed ^ (mixed >> 31);
}

double Dice::share() {
    return static_cast<double>(next() >> 11) * 0x1p-53;
}

std::size_t Dice::below(std::size_t end) {
    return static_cast<std::size_t>(share() * static_cast<double>(end));
}

/// How many ways there are to fill the room with the sizes from one on: by taking every number of each (a
/// taper), or in every order. Orders are counted as L!/Π n! of L shims, so that the ways to go on depend on
/// how many lie already.
class StackFamily::Ways {
public:
    Ways(const StackFamily& family, Counts stock, long room)
        : m_family(family), m_stock(std::move(stock)), m_room(room) {
        const bool any = family.m_limits.order == PileOrder::any;
        long thinnest = room + 1;
        for (std::size_t i = 0; i < m_stock.size(); ++i)
            if (m_stock[i] > 0) thinnest = std::min(thinnest, family.thickness(i));
        const int all = std::accumulate(m_stock.begin(), m_stock.end(), 0);
        m_most = any ? std::min<long>(all, room / std::max(1L, thinnest)) : 0;
        m_table.assign((m_stock.size() + 1) * width() * (static_cast<std::size_t>(m_room) + 1), -1.0);
    }

    double all() { return from(0, 0, 0); }

    /// One of the ways, each as likely as any other, as counts.
    Counts sample(Dice& dice) {
        Counts chosen(m_stock.size(), 0);
        long lying = 0;
        long height = 0;
        for (std::size_t i = 0; i < m_stock.size(); ++i) {
            double point = dice.share() * from(i, lying, height);
            int number = 0;
            for (;; ++number) {
                point -= going_on(i, number, lying, height);
                if (point < 0.0 || !fits(i, number + 1, height)) break;
            }
            chosen[i] = number;
            lying += step(number);
            height += number * m_family.thickness(i);
        }
        return chosen;
    }

private:
    std::size_t width() const { return static_cast<std::size_t>(m_most) + 1; }
    long step(int number) const { return m_family.m_limits.order == PileOrder::any ? number : 0; }
    bool fits(std::size_t size, int number, long height) const {
        return number <= m_stock[size] && height + number * m_family.thickness(size) <= m_room;
    }

    double going_on(std::size_t size, int number, long lying, long height) {
        const double ways = from(size + 1, lying + step(number), height + number * m_family.thickness(size));
        return m_family.m_limits.order == PileOrder::any ? ways / std::tgamma(number + 1.0) : ways;
    }

    double from(std::size_t size, long lying, long height) {
        if (size == m_stock.size()) return std::tgamma(static_cast<double>(lying) + 1.0);
        double& known = m_table[(size * width() + static_cast<std::size_t>(lying)) *
                                    (static_cast<std::size_t>(m_room) + 1) +
                                static_cast<std::size_t>(height)];
        if (known >= 0.0) return known;
        double sum = 0.0;
        for (int number = 0; fits(size, number, height); ++number)
            sum += going_on(size, number, lying, height);
        return known = sum;
    }

    const StackFamily& m_family;
    Counts m_stock;
    long m_room;
    long m_most = 0; // shims that can lie on each other
    std::vector<double> m_table;
};

StackFamily::StackFamily(Limits limits) : m_limits(std::move(limits)) {
    m_room = in_micrometres(m_limits.height);
    for (const setup::ShimSize& size : m_limits.sizes)
        m_thickness.push_back(std::max(1L, in_micrometres(size.thickness)));
    // In the largest steps that all thicknesses are multiples of, so that there are few heights.
    const long step = std::accumulate(m_thickness.begin(), m_thickness.end(), 0L,
                                      [](long common, long one) { return std::gcd(common, one); });
    for (long& one : m_thickness)
        one /= step;
    if (step > 0) m_room /= step;
    Counts stock;
    for (std::size_t i = 0; i < m_limits.sizes.size(); ++i)
        stock.push_back(may_lie(i) ? m_limits.sizes[i].count : 0);
    // By the size of the face shim, the ways to lay the others.
    for (std::size_t face = 0; face < stock.size(); ++face) {
        m_ways.push_back(nullptr);
        const bool taper = m_limits.order == PileOrder::taper;
        if (stock[face] > 0 && covers(face) && thickness(face) <= m_room) {
            Counts left = stock;
            --left[face];
            if (taper) std::fill(left.begin(), left.begin() + static_cast<std::ptrdiff_t>(face), 0);
            m_ways.back() = std::make_unique<Ways>(*this, std::move(left), m_room - thickness(face));
            m_size += m_ways.back()->all();
        }
    }
}

StackFamily::~StackFamily() = default;

bool StackFamily::may_lie(std::size_t size) const {
    const double radius = m_limits.sizes[size].outer_radius;
    return radius <= m_limits.largest_radius + plate::same_edge &&
           radius >= m_limits.smallest_radius - plate::same_edge;
}

bool StackFamily::covers(std::size_t size) const {
    return m_limits.sizes[size].outer_radius >= m_limits.face_radius - plate::same_edge;
}

double StackFamily::size() const {
    return m_size;
}

bool StackFamily::extend(Pile& pile, Counts& left, long room,
                         const std::function<bool(const Pile&)>& visit) const {
    const bool taper = m_limits.order == PileOrder::taper;
    for (std::size_t i = taper && !pile.empty() ? at(pile.back()) : 0; i < left.size(); ++i) {
        if (left[i] == 0 || !may_lie(i) || thickness(i) > room || (pile.empty() && !covers(i))) continue;
        pile.push_back(static_cast<int>(i));
        --left[i];
        const bool go_on = visit(pile) && extend(pile, left, room - thickness(i), visit);
        ++left[i];
        pile.pop_back();
        if (!go_on) return false;
    }
    return true;
}

bool StackFamily::for_each(const Counts& at_hand, const std::function<bool(const Pile&)>& visit) const {
    Pile pile;
    Counts left = at_hand;
    return extend(pile, left, m_room, visit);
}

Pile StackFamily::sample(Dice& dice) const {
    double point = dice.share() * m_size;
    for (std::size_t face = 0; face < m_ways.size(); ++face) {
        if (!m_ways[face]) continue;
        point -= m_ways[face]->all();
        if (point >= 0.0 && std::any_of(m_ways.begin() + static_cast<std::ptrdiff_t>(face) + 1, m_ways.end(),
                                        [](const auto& ways) { return ways != nullptr; }))
            continue;
        const Counts others = m_ways[face]->sample(dice);
        Pile pile{static_cast<int>(face)};
        for (std::size_t i = 0; i < others.size(); ++i)
            pile.insert(pile.end(), static_cast<std::size_t>(others[i]), static_cast<int>(i));
        if (m_limits.order == PileOrder::any)
            for (std::size_t last = pile.size() - 1; last > 1; --last) // Fisher and Yates's shuffle
                std::swap(pile[last], pile[1 + dice.below(last)]);
        return pile;
    }
    return {};
}

bool StackFamily::contains(const Pile& pile, const Counts& at_hand) const {
    if (pile.empty() || !covers(at(pile.front()))) return false;
    long height = 0;
    Counts left = at_hand;
    for (std::size_t i = 0; i < pile.size(); ++i) {
        if (m_limits.order == PileOrder::taper && i > 0 && pile[i] < pile[i - 1]) return false;
        if (!may_lie(at(pile[i])) || --left[at(pile[i])] < 0) return false;
        height += thickness(at(pile[i]));
    }
    return height <= m_room;
}

std::vector<Pile> StackFamily::neighbours(const Pile& pile, const Counts& at_hand) const {
    std::vector<Pile> found;
    const bool taper = m_limits.order == PileOrder::taper;
    const auto offer = [&](Pile next) {
        if (taper) std::sort(next.begin(), next.end());
        if (next != pile && contains(next, at_hand)) found.push_back(std::move(next));
    };
    for (std::size_t place = 0; place <= pile.size(); ++place) {
        const auto here = static_cast<std::ptrdiff_t>(place);
        for (std::size_t i = 0; i < at_hand.size(); ++i) {
            const auto size = static_cast<int>(i);
            if (!taper || place == pile.size()) {
                Pile more = pile;
                more.insert(more.begin() + here, size);
                offer(std::move(more));
            }
            if (place < pile.size() && size != pile[place]) {
                Pile other = pile;
                other[place] = size;
                offer(std::move(other));
            }
        }
        if (place == pile.size()) break;
        Pile less = pile;
        less.erase(less.begin() + here);
        offer(std::move(less));
        if (taper || place + 1 == pile.size()) continue;
        Pile swapped = pile;
        std::swap(swapped[place], swapped[place + 1]);
        offer(std::move(swapped));
    }
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

double StackFamily::height(const Pile& pile) const {
    return std::accumulate(pile.begin(), pile.end(), 0.0,
                           [this](double sum, int size) { return sum + m_limits.sizes[at(size)].thickness; });
}

Counts counts_of(const Pile& pile, std::size_t sizes) {
    Counts counts(sizes, 0);
    for (const int size : pile)
        ++counts[at(size)];
    return counts;
}

int changed_shims(const Pile& from, const Pile& to) {
    std::vector<std::size_t> longest(to.size() + 1, 0); // common run up to here
    for (const int shim : from) {
        std::size_t diagonal = 0;
        for (std::size_t i = 0; i < to.size(); ++i) {
            const std::size_t above = longest[i + 1];
            longest[i + 1] = shim == to[i] ? diagonal + 1 : std::max(longest[i + 1], longest[i]);
            diagonal = above;
        }
    }
    return static_cast<int>(std::max(from.size(), to.size()) - longest.back());
}

} // namespace valve::study
