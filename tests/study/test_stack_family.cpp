#include <support/catch.hpp>
#include <valve/study/stack_family.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

using namespace valve::study;

namespace {

/// 24 x 0.10, 24 x 0.15, 20 x 0.15, 16 x 0.20 over a seat of 23 mm and a clamp of 12 mm.
StackFamily::Limits limits(PileOrder order, double height = 0.9e-3) {
    StackFamily::Limits made;
    made.sizes = {{0.012, 0.10e-3, 1}, {0.012, 0.15e-3, 3}, {0.010, 0.15e-3, 2}, {0.008, 0.20e-3, 2}};
    made.face_radius = 0.0115;
    made.largest_radius = 0.012;
    made.smallest_radius = 0.006;
    made.height = height;
    made.order = order;
    return made;
}

Counts stock(const StackFamily::Limits& of) {
    Counts counts;
    for (const valve::setup::ShimSize& size : of.sizes)
        counts.push_back(size.count);
    return counts;
}

std::vector<Pile> all(const StackFamily& family) {
    std::vector<Pile> list;
    family.for_each(stock(family.limits()), [&](const Pile& pile) {
        list.push_back(pile);
        return true;
    });
    return list;
}

/// The same by trying every list of up to eight sizes, the simplest way there is.
std::set<Pile> by_trying(const StackFamily::Limits& of) {
    std::set<Pile> found;
    std::vector<Pile> lists{{}};
    for (int length = 1; length <= 8; ++length) {
        std::vector<Pile> longer;
        for (const Pile& list : lists)
            for (int size = 0; size < 4; ++size) {
                Pile next = list;
                next.push_back(size);
                double height = 0.0;
                std::map<int, int> counts;
                for (const int one : next) {
                    height += of.sizes[static_cast<std::size_t>(one)].thickness;
                    ++counts[one];
                }
                const bool at_hand = std::all_of(counts.begin(), counts.end(), [&](const auto& entry) {
                    return entry.second <= of.sizes[static_cast<std::size_t>(entry.first)].count;
                });
                const bool falls = std::is_sorted(next.begin(), next.end());
                if (!at_hand || height > of.height + 1e-9 || next.front() > 1) continue;
                if (of.order == PileOrder::taper && !falls) continue;
                longer.push_back(next);
                found.insert(next);
            }
        lists = std::move(longer);
    }
    return found;
}

} // namespace

TEST_CASE("a family holds every stack that can be built, each once, and knows how many", "[study][search]") {
    for (const PileOrder order : {PileOrder::taper, PileOrder::any})
        for (const double height : {0.1e-3, 0.3e-3, 0.9e-3, 3e-3}) {
            const StackFamily family(limits(order, height));
            const std::vector<Pile> list = all(family);
            const std::set<Pile> tried = by_trying(family.limits());
            INFO("order " << static_cast<int>(order) << ", height " << height);
            CHECK(std::set<Pile>(list.begin(), list.end()) == tried);
            CHECK(list.size() == tried.size());
            CHECK(family.size() == static_cast<double>(tried.size()));
            for (const Pile& pile : list)
                CHECK(family.contains(pile, stock(family.limits())));
        }
}

TEST_CASE("what is drawn from a family is of it, each as often as any other", "[study][search]") {
    for (const PileOrder order : {PileOrder::taper, PileOrder::any}) {
        const StackFamily family(limits(order, 0.5e-3));
        std::map<Pile, int> drawn;
        Dice dice(7);
        const int draws = 300 * static_cast<int>(family.size());
        for (int i = 0; i < draws; ++i)
            ++drawn[family.sample(dice)];
        CHECK(static_cast<double>(drawn.size()) == family.size());
        // Pearson's chi-squared over the classes, whose mean is n - 1 and variance 2 (n - 1): six deviations.
        double chi_squared = 0.0;
        for (const auto& [pile, count] : drawn) {
            CHECK(family.contains(pile, stock(family.limits())));
            chi_squared += (count - 300.0) * (count - 300.0) / 300.0;
        }
        const double freedom = family.size() - 1.0;
        CHECK(std::abs(chi_squared - freedom) < 6.0 * std::sqrt(2.0 * freedom));
    }
}

TEST_CASE("neighbours lie one step apart, both ways, and lead everywhere", "[study][search]") {
    for (const PileOrder order : {PileOrder::taper, PileOrder::any}) {
        const StackFamily family(limits(order, 0.6e-3));
        const Counts at_hand = stock(family.limits());
        std::set<Pile> reached{{0}};
        std::vector<Pile> waiting{{0}};
        while (!waiting.empty()) {
            const Pile pile = waiting.back();
            waiting.pop_back();
            for (const Pile& next : family.neighbours(pile, at_hand)) {
                const std::vector<Pile> back = family.neighbours(next, at_hand);
                CHECK(std::binary_search(back.begin(), back.end(), pile));
                CHECK(changed_shims(pile, next) == 1);
                if (reached.insert(next).second) waiting.push_back(next);
            }
        }
        CHECK(static_cast<double>(reached.size()) == family.size());
    }
}

TEST_CASE("shims changed are counted as a mechanic would", "[study][search]") {
    CHECK(changed_shims({1, 1, 2, 3}, {1, 1, 2, 3}) == 0);
    CHECK(changed_shims({1, 1, 2, 3}, {1, 1, 1, 2, 3}) == 1); // one put in
    CHECK(changed_shims({1, 1, 2, 3}, {1, 2, 3}) == 1);       // one left out
    CHECK(changed_shims({1, 1, 2, 3}, {1, 1, 0, 3}) == 1);    // one exchanged
    CHECK(changed_shims({1, 1, 2, 3}, {1, 2, 1, 3}) == 1);    // one moved
    CHECK(changed_shims({1, 1}, {2, 3, 3}) == 3);
}
