#include "core/analysis/session_analysis.h"

#include <gtest/gtest.h>

#include "core/analysis/settings_table.h"
#include "tests/support/generator.h"
#include "tests/support/small_traces.h"

using namespace beatwitness;
using recording::ClockBasis;
using tests::fileOf;
using tests::recordingOf;

namespace {

const analysis::Request asRecorded{alignment::Method::None, Seconds{0}, true};

analysis::SessionAnalysis analysed(recording::Recording reference, std::vector<recording::Recording> tests,
                                   const analysis::Request& request = asRecorded) {
    std::vector<recording::RecordingFile> files;
    for (auto& test : tests)
        files.push_back(fileOf(std::move(test)));
    auto session = analysis::analyseSession(fileOf(std::move(reference), "reference.csv"), std::move(files),
                                            {}, request);
    EXPECT_TRUE(session) << sentence(session.fault());
    return std::move(*session);
}

}  // namespace

TEST(AnalyseSession, ScoresAPairAsRecorded) {
    const auto session = analysed(recordingOf("100 110 120 130"), {recordingOf("98 110 123 130")});

    const auto& block = session.tests[0].asRecorded.agreement;
    EXPECT_EQ(block.pairs, 4u);
    EXPECT_DOUBLE_EQ(block.bias->value, 0.25);
    EXPECT_FALSE(session.tests[0].aligned);
    EXPECT_FALSE(session.tests[0].alignment.refusedBecause) << "nobody asked for an alignment";
}

TEST(AnalyseSession, AddsTheTypedOffsetToTheTestClock) {
    const analysis::Request request{alignment::Method::Offset, Seconds{-2}, true};

    const auto session =
        analysed(recordingOf("100 110 120 130 140"), {recordingOf("0 0 100 110 120 130 140")}, request);

    ASSERT_TRUE(session.tests[0].aligned);
    EXPECT_EQ(session.tests[0].aligned->agreement.pairs, 5u);
    EXPECT_DOUBLE_EQ(session.tests[0].aligned->agreement.mae->value, 0.0);
    EXPECT_FALSE(session.tests[0].alignment.offsetInterval_s);
    EXPECT_EQ(session.tests[0].asRecorded.agreement.pairs, 3u);
}

TEST(AnalyseSession, LaysAFileWithoutADateOnTheReferencesFirstSample) {
    auto undated = recordingOf("0 100 110 120", 5000);
    undated.clock = ClockBasis::None;

    const auto session = analysed(recordingOf("100 110 120", 1.9e9), {undated});

    EXPECT_DOUBLE_EQ(session.tests[0].asRecorded.agreement.mae->value, 0.0);
    EXPECT_EQ(session.tests[0].asRecorded.agreement.pairs, 3u);
}

TEST(AnalyseSession, LaysADatedTestOnAReferenceWithoutOne) {
    auto undated = recordingOf("100 110 120", 17);
    undated.clock = ClockBasis::None;

    const auto session = analysed(undated, {recordingOf("0 100 110 120", 1.9e9)});

    EXPECT_EQ(session.tests[0].asRecorded.agreement.pairs, 3u);
}

TEST(AnalyseSession, AFurtherTestChangesNothingInTheFirst) {
    const auto pair = tests::generatePair(tests::randomPlan(200500));
    const auto other = tests::generatePair(tests::randomPlan(200501));
    const analysis::Request request;

    const auto alone = analysed(pair.reference, {pair.test}, request);
    const auto together = analysed(pair.reference, {pair.test, other.test}, request);

    ASSERT_TRUE(alone.tests[0].aligned && together.tests[0].aligned);
    EXPECT_EQ(alone.tests[0].alignment.correction->offset, together.tests[0].alignment.correction->offset);
    EXPECT_EQ(alone.tests[0].aligned->agreement.mae, together.tests[0].aligned->agreement.mae);
    EXPECT_EQ(alone.tests[0].flags.size(), together.tests[0].flags.size());
}

TEST(AnalyseSession, FaultsOfTheReferenceLeaveTheAgreementUnlessKept) {
    const auto reference = recordingOf({{0, 100}, {1, 100}, {30, 100}, {31, 100}});
    const auto test = recordingOf({{0, 100}, {8, 100}, {16, 100}, {24, 100}, {31, 100}});

    const auto excluded = analysed(reference, {test});
    const auto kept = analysed(reference, {test}, {alignment::Method::None, Seconds{0}, false});

    ASSERT_EQ(excluded.tests[0].flags.size(), 1u);
    EXPECT_EQ(excluded.tests[0].flags[0].on, flags::FlaggedTrace::Reference);
    EXPECT_TRUE(excluded.tests[0].flags[0].excluded);
    EXPECT_FALSE(kept.tests[0].flags[0].excluded);
    EXPECT_EQ(excluded.excludedReferenceSeconds, 0u)
        << "where the reference is silent there was no second to exclude";
}

TEST(AnalyseSession, PausesOfAFileAreNoDropouts) {
    auto test = recordingOf({{0, 100}, {1, 100}, {31, 100}, {60, 100}});
    test.pauses.push_back({RecordingTime{Micros{1'000'000}}, RecordingTime{Micros{31'000'000}}});
    std::vector<tests::Sample> everySecond;
    for (int s = 0; s <= 60; ++s)
        everySecond.push_back({static_cast<double>(s), 100});

    const auto session = analysed(recordingOf(everySecond), {test});

    ASSERT_EQ(session.tests[0].flags.size(), 1u) << "the second gap, which no pause covers";
    EXPECT_EQ(secondsOf(session.tests[0].flags[0].span.begin), 32);
}

TEST(AnalyseSession, ATestWithoutHeartRateIsAFaultThatNamesIt) {
    const auto session = analysis::analyseSession(fileOf(recordingOf("100 110")),
                                                  {fileOf(recordingOf(". ."), "silent.csv")}, {});

    ASSERT_FALSE(session);
    EXPECT_EQ(session.fault().code, FaultCode::NoHeartRate);
    EXPECT_EQ(session.fault().file, "silent.csv");
}

TEST(AnalyseSession, AbsurdlyFarTimesCostNoMemoryAndAreRefused) {
    const auto session =
        analysed(recordingOf({{0, 100}, {1, 110}, {3e9, 120}}), {recordingOf({{0, 100}, {2e9, 100}})}, {});

    EXPECT_TRUE(session.tests[0].alignment.refusedBecause);
    EXPECT_EQ(session.tests[0].asRecorded.agreement.pairs, 1u);
}

TEST(SettingsTable, NamesEveryThresholdOnceWithItsReasonAndSource) {
    const auto table = analysis::settingsTable({});

    for (std::size_t i = 0; i < table.size(); ++i) {
        EXPECT_FALSE(table[i].reason.empty()) << table[i].key;
        EXPECT_FALSE(table[i].source.empty()) << table[i].key;
        for (std::size_t j = 0; j < i; ++j)
            EXPECT_NE(table[i].key, table[j].key);
    }
}
