#include <frame/recorder.hpp>
#include <frame/references.hpp>
#include <support/catch.hpp>

#include <cmath>
#include <functional>
#include <limits>
#include <stdexcept>

using namespace valve::validation;

namespace {

const References works{"@book{roark,\n  title = {Formulas}\n}\n"};

/// A check that has all it needs, and passes.
Check sound() {
    return {.name = "lift at the rim",
            .source = {"roark", "Table 11.2, case 2l"},
            .kind = Kind::published,
            .expected = 0.0318,
            .got = 0.03182,
            .tolerance = relative(2e-3, "printed with three digits"),
            .unit = "m"};
}

void rejects(const Check& check, const std::string& reason) {
    Recorder recorder{"plate", works};
    CHECK_THROWS_WITH(recorder.add(check), contains_text(reason));
    CHECK(recorder.checks().empty());
}

} // namespace

TEST_CASE("validation: a check passes within its tolerance and fails beyond it", "[validation]") {
    Check check = sound();
    CHECK(check.passed());
    check.got = 0.0319;
    CHECK_FALSE(check.passed());
    check.tolerance = absolute(2e-4, "read from a graph");
    CHECK(check.passed());
    check.got = 0.0316 - 1e-6;
    CHECK_FALSE(check.passed());
    check.got = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(check.passed());
    check.got = std::numeric_limits<double>::infinity();
    CHECK_FALSE(check.passed());
}

TEST_CASE("validation: a negative expected value has a tolerance like a positive one", "[validation]") {
    Check check = sound();
    check.expected = -2.0;
    check.tolerance = relative(0.1, "read from a graph");
    check.got = -2.1;
    CHECK(check.passed());
    check.got = 2.0;
    CHECK_FALSE(check.passed());
}

TEST_CASE("validation: a bound holds on its own side and on itself", "[validation]") {
    Check check = sound();
    check.expected = -2.0;
    check.tolerance = at_least("a rule of the trade");
    check.got = -2.0;
    CHECK(check.passed());
    check.got = 5.0;
    CHECK(check.passed());
    CHECK_FALSE(check.digits());
    check.got = -2.0 - 1e-15;
    CHECK_FALSE(check.passed());
    check.got = std::numeric_limits<double>::infinity();
    CHECK_FALSE(check.passed());
    check.tolerance = at_most("a rule of the trade");
    check.got = -2.0 - 1e-15;
    CHECK(check.passed());
    check.got = -2.0 + 1e-15;
    CHECK_FALSE(check.passed());
    check.got = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(check.passed());
}

TEST_CASE("validation: digits of agreement", "[validation]") {
    Check check = sound();
    check.expected = 1.0;
    check.got = 1.001;
    CHECK_THAT(check.digits().value(), WithinAbs(3.0, 1e-10)); // 1.001 is not exact in binary
    check.got = 1.0;
    CHECK(check.digits().value() == 16.0);
    check.got = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(check.digits());
    check.expected = 0.0;
    check.got = 1e-9;
    CHECK_FALSE(check.digits());
}

TEST_CASE("validation: a check that says too little is refused", "[validation]") {
    Check check = sound();
    check.name.clear();
    rejects(check, "has no name");

    check = sound();
    check.source.key = "rorak";
    rejects(check, "names rorak, which is not in references.bib");

    check = sound();
    check.source.key.clear();
    rejects(check, "names no work");
    check.kind = Kind::memory;
    rejects(check, "names no work");

    check = sound();
    check.kind = Kind::common_practice;
    rejects(check, "is common practice but names a source");
    check.source = {"", "said at the bench"};
    rejects(check, "is common practice but names a source");

    check = sound();
    check.source.where.clear();
    rejects(check, "does not say where");

    check = sound();
    check.expected = std::numeric_limits<double>::infinity();
    rejects(check, "expects inf");

    check = sound();
    check.tolerance.size = 0.0;
    rejects(check, "has a tolerance of 0");
    check.tolerance.size = std::numeric_limits<double>::infinity();
    rejects(check, "has a tolerance of inf");

    check = sound();
    check.tolerance.why.clear();
    rejects(check, "gives no reason");

    check = sound();
    check.expected = 0.0;
    rejects(check, "has a relative tolerance about 0");

    check = sound();
    check.tolerance = at_most("");
    rejects(check, "gives no reason");
    check.tolerance = at_most("a rule of the trade");
    check.tolerance.size = 0.1;
    rejects(check, "has a tolerance of 0.1 on a bound");
}

TEST_CASE("validation: a reference computed by hand and a rule of the trade need no work", "[validation]") {
    Recorder recorder{"plate", works};
    Check check = sound();
    check.kind = Kind::computed_reference;
    check.source = {"", "closed form of a clamped disc, evaluated with 30 digits"};
    recorder.add(check);
    check.kind = Kind::common_practice;
    check.source = no_source();
    recorder.add(check);
    check.expected = 0.0;
    check.tolerance = at_least("a rule of the trade");
    recorder.add(check);
    CHECK(recorder.checks().size() == 3);
}

TEST_CASE("validation: references are known by their keys, once each", "[validation]") {
    const References references{"% @book{not_this,\n@book{one,\n year = {1959}}\n@techreport{two_b,\n}\n"};
    CHECK(references.keys() == std::set<std::string, std::less<>>{"one", "two_b"});
    CHECK(references.contains("two_b"));
    CHECK_FALSE(references.contains("two"));
    CHECK_THROWS_AS(References{"@book{one,\n}\n@article{one,\n}\n"}, std::invalid_argument);
    CHECK_THROWS_AS(References::load("no-such-file.bib"), std::runtime_error);
}
