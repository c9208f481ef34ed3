#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numeric>

#include "core/foundation/text.h"
#include "core/recording/file_bytes.h"
#include "core/recording/fit_recording.h"
#include "core/recording/heart_rate_range.h"
#include "tests/support/shared_files.h"

// Every number here comes from shared/recordings/expected.json, which was made without any code of this
// project.
namespace beatwitness::recording {
namespace {

using nlohmann::json;

class FitSharedRecordings : public testing::TestWithParam<const char*> {
protected:
    void SetUp() override {
        const auto facts = tests::sharedFile("recordings/expected.json");
        const auto file = tests::sharedFile(std::string{"recordings/fit/"} + GetParam());
        if (!facts || !file) GTEST_SKIP() << "the shared recordings are not here";
        std::ifstream in{*facts};
        expected_ = json::parse(in)["files"][std::string{"fit/"} + GetParam()];
        const auto bytes = fileBytes(*file);
        ASSERT_TRUE(bytes);
        ASSERT_TRUE(looksLikeFit(*bytes));
        auto recording = readFit(*bytes);
        ASSERT_TRUE(recording) << recording.fault().message;
        recording_ = std::move(*recording);
        takeValid();
    }

    void takeValid() {
        const auto* rates = recording_.channel(ChannelKind::HeartRate);
        if (!rates) return;
        for (std::size_t i = 0; i < rates->values.size(); ++i) {
            if (!isValidHeartRate(rates->values[i])) continue;
            valid_.values.push_back(rates->values[i]);
            valid_.times.push_back(rates->times[i]);
        }
    }

    [[nodiscard]] std::size_t count(const char* key) const { return expected_.value(key, std::size_t{0}); }
    [[nodiscard]] bool has(const char* key) const {
        return expected_.contains(key) && !expected_[key].is_null();
    }
    [[nodiscard]] double mean() const {
        return std::accumulate(valid_.values.begin(), valid_.values.end(), 0.0) /
               static_cast<double>(valid_.values.size());
    }
    [[nodiscard]] static std::string iso(RecordingTime time) { return isoInstant(time.time_since_epoch()); }

    json expected_;
    Recording recording_;
    Channel valid_;
};

class FitRatesInRecords : public FitSharedRecordings {};
class FitRatesInEvents : public FitSharedRecordings {};
class FitDatedFiles : public FitSharedRecordings {};
class FitDatedRates : public FitSharedRecordings {};
class FitUnsetClock : public FitSharedRecordings {};

TEST_P(FitSharedRecordings, GivesTheCountedRecords) {
    const std::size_t events = has("hr_msg_events") ? count("hr_msg_events") : 0;

    EXPECT_EQ(recording_.rows, count("records") + events);
}

TEST_P(FitRatesInRecords, GivesTheCountedHeartRates) {
    const std::size_t all = recording_.channel(ChannelKind::HeartRate)
                                ? recording_.channel(ChannelKind::HeartRate)->values.size()
                                : 0;

    EXPECT_EQ(valid_.values.size(), count("hr_samples"));
    EXPECT_EQ(all + count("hr_zero"), count("hr_samples") + count("hr_outside_25_to_250"));
    EXPECT_EQ(recording_.rows - all, count("records_without_hr") + count("hr_zero"));
}

TEST_P(FitRatesInRecords, GivesTheRangeAndMeanOfHeartRate) {
    if (count("hr_samples") == 0) {
        EXPECT_TRUE(valid_.values.empty());
        return;
    }
    EXPECT_EQ(std::ranges::min(valid_.values), expected_["hr_min"].get<double>());
    EXPECT_EQ(std::ranges::max(valid_.values), expected_["hr_max"].get<double>());
    EXPECT_NEAR(mean(), expected_["hr_mean"].get<double>(), 0.00005001);
}

TEST_P(FitDatedRates, GivesTheFirstAndLastTimeOfHeartRate) {
    EXPECT_EQ(recording_.clock, ClockBasis::Utc);
    EXPECT_EQ(iso(valid_.times.front()), expected_["first_hr"].get<std::string>());
    EXPECT_EQ(iso(valid_.times.back()), expected_["last_hr"].get<std::string>());
}

TEST_P(FitUnsetClock, CountsAnUnsetClockFromItsOwnZero) {
    EXPECT_EQ(recording_.clock, ClockBasis::None);
    EXPECT_EQ(toSeconds(valid_.times.front().time_since_epoch()).value,
              expected_["first_hr_device_clock_s"].get<double>());
    EXPECT_EQ(toSeconds(valid_.times.back().time_since_epoch()).value,
              expected_["last_hr_device_clock_s"].get<double>());
}

// By hand: 17217864 s (first record) + 680848312 s (local minus device clock) + 631065600 s (FIT epoch) is
// 1329131776 s from 1970, 2012-02-13 11:16:16.
TEST_P(FitUnsetClock, SaysTheLocalDateOfAnUnsetClock) {
    ASSERT_EQ(recording_.warnings.size(), 1U);
    EXPECT_NE(recording_.warnings[0].find("2012-02-13 11:16:16, zone unknown"), std::string::npos)
        << recording_.warnings[0];
}

TEST_P(FitRatesInEvents, GivesTheHeartRateOfHrMessages) {
    EXPECT_EQ(valid_.values.size(), count("hr_msg_events"));
    EXPECT_EQ(std::ranges::min(valid_.values), expected_["hr_msg_bpm_min"].get<double>());
    EXPECT_EQ(std::ranges::max(valid_.values), expected_["hr_msg_bpm_max"].get<double>());
    EXPECT_NEAR(mean(), expected_["hr_msg_bpm_mean"].get<double>(), 0.00005001);
}

TEST_P(FitRatesInEvents, TimesTheEventsOfHrMessages) {
    // expected.json cuts to milliseconds where we round; so a millisecond of slack.
    const auto cut = [](RecordingTime time) {
        return iso(std::chrono::floor<std::chrono::milliseconds>(time));
    };

    EXPECT_EQ(cut(valid_.times.front()), expected_["hr_msg_first"].get<std::string>());
    EXPECT_EQ(cut(valid_.times.back()), expected_["hr_msg_last"].get<std::string>());
}

TEST_P(FitSharedRecordings, GivesTheLaps) {
    const auto& spans = expected_["lap_spans"];

    ASSERT_EQ(recording_.laps.size(), count("laps"));
    for (std::size_t i = 0; i < spans.size(); ++i) {
        EXPECT_EQ(iso(recording_.laps[i].span.begin), spans[i][0].get<std::string>()) << "lap " << i + 1;
        EXPECT_EQ(iso(recording_.laps[i].span.end), spans[i][1].get<std::string>()) << "lap " << i + 1;
    }
}

TEST_P(FitDatedFiles, MakesPausesOfTimerEvents) {
    std::vector<std::pair<std::string, std::string>> expected;
    const auto& events = expected_["timer_events"];
    for (std::size_t i = 1; i < events.size(); ++i)
        if (events[i][1] == "start") expected.emplace_back(events[i - 1][0], events[i][0]);

    ASSERT_EQ(recording_.pauses.size(), expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_EQ(iso(recording_.pauses[i].begin), expected[i].first);
        EXPECT_EQ(iso(recording_.pauses[i].end), expected[i].second);
    }
}

TEST_P(FitSharedRecordings, GivesTheBeatIntervals) {
    const auto* beats = recording_.channel(ChannelKind::BeatInterval);

    ASSERT_EQ(beats ? beats->values.size() : 0, count("hrv_rr_count"));
    if (!beats) return;
    EXPECT_EQ(std::accumulate(beats->values.begin(), beats->values.end(), 0.0),
              expected_["hrv_rr_ms_sum"].get<double>());
    EXPECT_EQ(std::ranges::min(beats->values), expected_["hrv_rr_ms_min"].get<double>());
    EXPECT_EQ(std::ranges::max(beats->values), expected_["hrv_rr_ms_max"].get<double>());
}

TEST_P(FitSharedRecordings, CountsCadence) {
    const auto* cadence = recording_.channel(ChannelKind::Cadence);

    EXPECT_EQ(cadence ? cadence->values.size() : 0, count("cadence_samples"));
}

TEST_P(FitSharedRecordings, WarnsOnceWhereTheFileIsDamagedAndElseNotAtAll) {
    const bool damaged = !expected_["faults"].empty();
    const bool relative = expected_.value("time_is_relative", false);
    const bool noRecords = count("records") == 0;

    EXPECT_EQ(recording_.warnings.size(), static_cast<std::size_t>(damaged) + relative + noRecords);
    if (damaged) {
        EXPECT_TRUE(recording_.warnings.back().starts_with("Byte ")) << recording_.warnings.back();
    }
}

std::string nameOf(const testing::TestParamInfo<const char*>& tested) {
    std::string name = tested.param;
    name.resize(name.size() - std::string_view{".fit"}.size());
    std::erase(name, '-');
    return name;
}

const auto datedRates =
    testing::Values("indoor-laps.fit", "developer-fields.fit", "rr-messages.fit",
                    "big-endian-developer-hr.fit", "wrist-short.fit", "unterminated-strings.fit");
const auto datedWithoutRates =
    testing::Values("hr-all-zero.fit", "truncated-no-hr.fit", "wrong-crc-no-hr.fit",
                    "second-header-damaged.fit", "not-an-activity.fit");
const auto unsetClock = testing::Values("compressed-timestamps.fit");
const auto ratesInEvents = testing::Values("chained-swim-hr-messages.fit");

INSTANTIATE_TEST_SUITE_P(DatedRates, FitSharedRecordings, datedRates, nameOf);
INSTANTIATE_TEST_SUITE_P(NoRates, FitSharedRecordings, datedWithoutRates, nameOf);
INSTANTIATE_TEST_SUITE_P(UnsetClock, FitSharedRecordings, unsetClock, nameOf);
INSTANTIATE_TEST_SUITE_P(RatesInEvents, FitSharedRecordings, ratesInEvents, nameOf);
INSTANTIATE_TEST_SUITE_P(DatedRates, FitRatesInRecords, datedRates, nameOf);
INSTANTIATE_TEST_SUITE_P(NoRates, FitRatesInRecords, datedWithoutRates, nameOf);
INSTANTIATE_TEST_SUITE_P(UnsetClock, FitRatesInRecords, unsetClock, nameOf);
INSTANTIATE_TEST_SUITE_P(DatedRates, FitDatedFiles, datedRates, nameOf);
INSTANTIATE_TEST_SUITE_P(NoRates, FitDatedFiles, datedWithoutRates, nameOf);
INSTANTIATE_TEST_SUITE_P(RatesInEvents, FitDatedFiles, ratesInEvents, nameOf);
INSTANTIATE_TEST_SUITE_P(All, FitDatedRates, datedRates, nameOf);
INSTANTIATE_TEST_SUITE_P(All, FitUnsetClock, unsetClock, nameOf);
INSTANTIATE_TEST_SUITE_P(All, FitRatesInEvents, ratesInEvents, nameOf);

}  // namespace
}  // namespace beatwitness::recording
