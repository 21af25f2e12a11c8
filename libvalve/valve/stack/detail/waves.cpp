#include <valve/core/bracket.hpp>
#include <valve/stack/detail/round_test.hpp>
#include <valve/stack/detail/waves.hpp>

namespace valve::stack {

std::optional<Waves> WaveSearch::up_to(double pressure) {
    if (m_path.problem().theory() == Theory::linear) return std::nullopt;
    std::optional<RoundTest> test; // its elements are many: not kept
    // Up to the first landmark that is no lower: waves below it may begin below the pressure.
    while (!m_found && m_next < m_landmarks.size() && (m_next == 0 || m_landmarks[m_next - 1] < pressure)) {
        const double landmark = m_landmarks[m_next];
        const double round = m_next == 0 ? 0.0 : m_landmarks[m_next - 1];
        ++m_next;
        const State* state = m_path.at(landmark);
        if (!test) test.emplace(m_path.problem());
        std::vector<int> waves;
        if (state != nullptr) waves = test->buckles_into(*state);
        if (waves.empty()) continue;
        // As between landmarks, no waves are looked for that come and go: what has not buckled at this one is
        // not looked at below it.
        const Bracket found = bisect(round, landmark, 1e-3, [&](double middle) -> std::optional<bool> {
            const State* between = m_path.at(middle);
            if (between == nullptr) return std::nullopt;
            const std::vector<int> already = test->buckles_into(*between, waves);
            if (!already.empty()) waves = already;
            return already.empty();
        });
        m_found = Waves{found.high, waves.front()};
    }
    return m_found && m_found->pressure <= pressure ? m_found : std::nullopt;
}

} // namespace valve::stack
