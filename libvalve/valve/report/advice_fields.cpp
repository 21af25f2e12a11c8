#include <valve/report/advice_fields.hpp>
#include <valve/report/advise.hpp>

#include <array>

namespace valve::report {

namespace {

using study::Suggestion;

using F = Field<Suggestion>;
constexpr std::array suggested{
    F{{"reached", "goal reached", "goal", Magnitude::share},
      [](const Suggestion& one) { return value_of(one.reached); }},
    F{{"side_effect", "side effect on the rest", "side effect", Magnitude::noticed, 1},
      [](const Suggestion& one) { return value_of(one.side_effect); }},
    F{{"effort", "effort", "effort"},
      [](const Suggestion& one) { return value_of(study::name(one.effort)); }},
    F{{"worth", "goal reached a step of side effect", "worth", Magnitude::count, 2},
      [](const Suggestion& one) { return value_of(one.worth); }},
    F{{"meets", "reaches the whole goal", "all of it"},
      [](const Suggestion& one) { return Value{one.meets()}; }},
    F{{"words", "change", "change"}, [](const Suggestion& one) { return value_of(words(one)); }},
    F{{"missing", "goal still missing", "missing", Magnitude::share},
      [](const Suggestion& one) { return value_of(1.0 - one.reached); }},
};

} // namespace

Fields<Suggestion> suggestion_fields() {
    return suggested;
}

} // namespace valve::report
