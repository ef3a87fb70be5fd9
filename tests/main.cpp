// The main function of each test program. `test_<area>_<stem>` runs the tests of tests/<area>/<stem>_test.cpp, whatever others the program holds (CMakeLists.txt puts
// a dozen into one). Where there is no test to run, that is a failure: a name that is misspelled must not look like a test that passes.
#define DOCTEST_CONFIG_IMPLEMENT
#include <doctest/doctest.h>
#include <string>

namespace {

unsigned to_run = 0;

struct Counts : doctest::IReporter {
    explicit Counts(const doctest::ContextOptions& /*options*/) {}
    void report_query(const doctest::QueryData& /*in*/) override { to_run = 1; }
    void test_run_start() override {}
    void test_run_end(const doctest::TestRunStats& in) override { to_run = in.numTestCasesPassingFilters; }
    void test_case_start(const doctest::TestCaseData& /*in*/) override {}
    void test_case_reenter(const doctest::TestCaseData& /*in*/) override {}
    void test_case_end(const doctest::CurrentTestCaseStats& /*in*/) override {}
    void test_case_exception(const doctest::TestCaseException& /*in*/) override {}
    void subcase_start(const doctest::SubcaseSignature& /*in*/) override {}
    void subcase_end() override {}
    void log_assert(const doctest::AssertData& /*in*/) override {}
    void log_message(const doctest::MessageData& /*in*/) override {}
    void test_case_skipped(const doctest::TestCaseData& /*in*/) override {}
};
DOCTEST_REGISTER_LISTENER("counts", 1, Counts);

} // namespace

int main(int argc, char** argv) {
    doctest::Context context(argc, argv);
    std::string name = argv[0];
    name = name.substr(name.rfind('/') + 1);
    const std::size_t area = name.find('_') + 1;
    const std::size_t stem = name.find('_', area) + 1;
    if (name.starts_with("test_") && stem > area)
        context.addFilter("source-file",
                          ("*/" + name.substr(area, stem - 1 - area) + "/" + name.substr(stem) + "_test.cpp").c_str());
    const int status = context.run();
    return status != 0 || to_run > 0 || context.shouldExit() ? status : 1;
}
