#include <valve/core/detail/mutex.hpp>
#include <valve/core/findings.hpp>
#include <valve/stack/detail/canonical.hpp>
#include <valve/stack/solutions.hpp>

#include <algorithm>
#include <list>
#include <stdexcept>
#include <unordered_map>

namespace valve::stack {

class Solutions::Kept {
public:
    explicit Kept(std::size_t most) : capacity(most) {}

    struct Entry {
        std::uint64_t fingerprint = 0;
        std::shared_ptr<const Solution> solution;
    };
    using Entries = std::list<Entry>;

    /// Null where there is none; else it is the last one asked for.
    std::shared_ptr<const Solution> find(std::uint64_t fingerprint, const Stack& stack,
                                         const FollowOptions& options) {
        const auto [begin, end] = m_by_fingerprint.equal_range(fingerprint);
        const auto found = std::find_if(begin, end, [&](const auto& known) {
            const Solution& solution = *known.second->solution;
            return solution.stack() == stack && solution.options() == options;
        });
        if (found == end) return nullptr;
        m_entries.splice(m_entries.begin(), m_entries, found->second);
        return found->second->solution;
    }

    void add(std::uint64_t fingerprint, std::shared_ptr<const Solution> solution) {
        m_entries.push_front({fingerprint, std::move(solution)});
        m_by_fingerprint.emplace(fingerprint, m_entries.begin());
        if (m_entries.size() <= capacity) return;
        const auto [begin, end] = m_by_fingerprint.equal_range(m_entries.back().fingerprint);
        m_by_fingerprint.erase(
            std::find_if(begin, end, [&](const auto& known) { return &*known.second == &m_entries.back(); }));
        m_entries.pop_back();
    }

    std::size_t size() const { return m_entries.size(); }

    Mutex mutex;
    const std::size_t capacity;

private:
    Entries m_entries; // asked for last first
    std::unordered_multimap<std::uint64_t, Entries::iterator> m_by_fingerprint;
};

Solutions::Solutions(std::size_t capacity) {
    if (capacity < 1) throw std::invalid_argument("stack::Solutions: a capacity of none");
    m_kept = std::make_unique<Kept>(capacity);
}

Solutions::~Solutions() = default;

std::shared_ptr<const Solution> Solutions::of(const Stack& stack, const FollowOptions& options) {
    refuse_errors<std::invalid_argument>(check(stack), "stack: "); // what does not count is checked too
    const Stack what_counts = canonical(stack);
    const std::uint64_t key = fingerprint(what_counts, options);
    const Lock lock(m_kept->mutex);
    if (std::shared_ptr<const Solution> known = m_kept->find(key, what_counts, options)) return known;
    auto fresh = std::make_shared<const Solution>(what_counts, options);
    m_kept->add(key, fresh);
    return fresh;
}

std::size_t Solutions::size() const {
    const Lock lock(m_kept->mutex);
    return m_kept->size();
}

std::size_t Solutions::capacity() const {
    return m_kept->capacity;
}

} // namespace valve::stack
