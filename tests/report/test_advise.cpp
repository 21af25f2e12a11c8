#include <support/catch.hpp>
#include <valve/report/advise.hpp>

using namespace valve;
using namespace valve::report;

namespace {

study::Suggestion one_shim(int item, bool is_alone, const std::string& behind) {
    setup::ShimVariant shim;
    shim.item = item;
    shim.was = "40 x 0.20";
    shim.is_alone = is_alone;
    shim.behind = behind;
    study::Step step;
    step.key = "valves.base.compression.shims";
    step.shim = shim;
    study::Suggestion made;
    made.steps = {step};
    return made;
}

study::Advice without_changes(std::size_t lines) {
    study::Advice advice;
    advice.shortfall = 1.0;
    advice.targets.resize(lines);
    return advice;
}

} // namespace

TEST_CASE("of shims of one size it is told which is meant", "[report][advise]") {
    CHECK(words(one_shim(1, true, "")) == "one more 40 x 0.20 in the base valve (base.compression.shims)");
    CHECK(words(one_shim(1, false, "")) ==
          "one more 40 x 0.20 on the piston face in the base valve (base.compression.shims)");
    CHECK(words(one_shim(3, false, "30 x 0.10")) ==
          "one more 40 x 0.20 behind the 30 x 0.10 in the base valve (base.compression.shims)");
}

TEST_CASE("what a change leaves without an answer is told with the reason", "[report][advise]") {
    study::Suggestion made = one_shim(1, true, "");
    CHECK(side_words(made, 4.0) == "It moves nothing else by a noticeable step.");
    study::Figure lost;
    lost.quantity = study::Quantity::void_onset_rebound;
    lost.error = "beyond the end of its lift curve";
    made.unsolved = {lost};
    CHECK(side_words(made, 4.0) == "No longer solved: voids on rebound (beyond the end of its lift curve).");
    CHECK(json(made).at("unsolved").at(0).at("error") == "beyond the end of its lift curve");
}

TEST_CASE("what else a change moves is told from one noticeable step on, either way", "[report][advise]") {
    const auto told = [](double steps, bool is_gain) {
        const study::Figure from{study::Quantity::rider_sag, {}, 0.080, ""};
        const study::Figure to{study::Quantity::rider_sag, {}, 0.085, ""};
        study::Suggestion made = one_shim(1, true, "");
        made.moves = {{from, to, steps, is_gain}};
        return side_words(made, 4.0);
    };
    const std::string nothing = "It moves nothing else by a noticeable step.";
    for (const bool is_gain : {false, true})
        for (const double sign : {-1.0, 1.0}) {
            CHECK(told(0.999 * sign, is_gain) == nothing);
            CHECK(told(1.0 * sign, is_gain) != nothing);
            CHECK_THAT(told(1.0 * sign, is_gain), contains_text("80.0 mm → 85.0 mm"));
        }
    CHECK(told(1.0, true) != told(1.0, false));
}

TEST_CASE("that nothing helps is said of what was tried alone", "[report][advise]") {
    const auto first = [](const study::Advice& advice) { return closing_words(advice).front(); };
    CHECK(first(without_changes(2)).find("What one line asks, another forbids") != std::string::npos);
    CHECK(first(without_changes(1)).find("another forbids") == std::string::npos);
    study::Advice stopped = without_changes(2);
    stopped.is_interrupted = true;
    CHECK(first(stopped) == "Nothing was solved before it was interrupted.");
    CHECK(closing_words(stopped).size() == 1); // no best so far
    stopped.tried = 7;
    CHECK(first(stopped) == "Nothing that was tried so far takes it any nearer.");
}
