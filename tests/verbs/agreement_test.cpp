// The verb `agreement` as another program sees it, against `analyse` on the same files.

#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/verbs/verb_run.h"

using namespace beatwitness;
using nlohmann::json;
using tests::Ran;
using tests::run;
namespace fs = std::filesystem;

namespace {

/// Three sessions of two activities with errors of their own, in a library.
class AgreementVerb : public testing::Test {
protected:
    void SetUp() override {
        folder_ = fs::temp_directory_path() / ("beatwitness-agreement-" + std::to_string(::getpid()));
        fs::remove_all(folder_);
        fs::create_directories(folder_);
        for (int i = 0; i < 3; ++i) {
            const auto reference = workout("strap" + std::to_string(i), i, 0.0),
                       test = workout("band" + std::to_string(i), i, 1.0 + 2 * i);
            const auto added = run({"add", "--library", library(), "--project", "trial", "--session",
                                    "day " + std::to_string(i), "--activity", i < 2 ? "rowing" : "walking",
                                    "--reference", "strap=" + reference, "--test", "band=" + test});
            ASSERT_EQ(added.code, 0) << added.err;
            analysed_.push_back(run({"analyse", "--reference", reference, "--test", test, "--json"})
                                    .parsed()["tests"][0]["agreement"]);
        }
    }
    void TearDown() override { fs::remove_all(folder_); }

    [[nodiscard]] std::string library() const { return (folder_ / "harbour.library").string(); }

    std::string workout(const std::string& name, int day, double bias_bpm) {
        const auto path = folder_ / (name + ".csv");
        std::ofstream out{path};
        out << "timestamp,hr\n";
        for (int t = 0; t < 1500 + 100 * day; ++t) {
            const double rate =
                90 + 50 / (1 + std::exp(-(t - 200) / 20.0)) - 40 / (1 + std::exp(-(t - 600) / 35.0)) +
                45 / (1 + std::exp(-(t - 900) / 25.0)) - 40 / (1 + std::exp(-(t - 1200) / 30.0));
            out << 1930380000 + 86400 * day + t << ',' << std::lround(rate + bias_bpm) << '\n';
        }
        return path.string();
    }

    json groups(std::vector<std::string> more) {
        std::vector<std::string> words{"agreement", "--library", library(), "--project", "trial", "--json"};
        words.insert(words.end(), more.begin(), more.end());
        const auto ran = run(words);
        EXPECT_EQ(ran.code, 0) << ran.err;
        return ran.parsed()["groups"];
    }

    fs::path folder_;
    std::vector<json> analysed_;
};

}  // namespace

TEST_F(AgreementVerb, OneSessionIsWhatAnalyseSaysOfItsFiles) {
    const auto found = groups({"--by", "session"});

    ASSERT_EQ(found.size(), 6u);
    for (std::size_t i = 0; i < 3; ++i)
        for (const auto* clock : {"aligned", "as_recorded"}) {
            const auto& group = found[2 * i + (std::string{clock} == "as_recorded")];
            const auto& block = analysed_[i][clock];
            EXPECT_EQ(group["clock"], clock);
            EXPECT_EQ(group["pairs"], block["pairs"]);
            for (const auto* key : {"bias_bpm", "sd_bpm", "mae_bpm", "mape_pct", "rmse_bpm", "pearson_r",
                                    "ccc", "within_5_bpm_pct"})
                EXPECT_NEAR(group["time_weighted"][key]["value"], block[key], 1e-9) << key;
            EXPECT_TRUE(group["time_weighted"]["bias_bpm"]["ci95"].is_null())
                << "one session gives no interval";
        }
}

TEST_F(AgreementVerb, PooledBiasWeighsSessionsByTheirPairs) {
    const auto found = groups({"--by", "device"});

    double sum = 0, pairs = 0;
    for (const auto& block : analysed_) {
        sum += block["as_recorded"]["bias_bpm"].get<double>() * block["as_recorded"]["pairs"].get<double>();
        pairs += block["as_recorded"]["pairs"].get<double>();
    }
    ASSERT_EQ(found.size(), 2u);
    EXPECT_EQ(found[1]["sessions"], 3);
    EXPECT_NEAR(found[1]["time_weighted"]["bias_bpm"]["value"], sum / pairs, 1e-9);
    EXPECT_EQ(found[1]["time_weighted"]["bias_bpm"]["ci95"].size(), 2u);
    EXPECT_NE(found[1]["time_weighted"]["bias_bpm"]["method"].get<std::string>().find("2 df"),
              std::string::npos);
}

TEST_F(AgreementVerb, ActivitiesAndDevicesCanBePicked) {
    EXPECT_EQ(groups({"--activity", "walking"}).at(0)["by"]["activity"], "walking");
    EXPECT_EQ(groups({"--activity", "walking"}).size(), 2u);
    EXPECT_EQ(run({"agreement", "--library", library(), "--project", "trial", "--device", "watch"}).code, 1);
}

TEST_F(AgreementVerb, TableHasARowAGroupClockAndWeighting) {
    const auto ran =
        run({"agreement", "--library", library(), "--project", "trial", "--by", "activity", "--csv"});

    EXPECT_EQ(std::ranges::count(ran.out, '\n'), 1 + 2 * 2 * 2);
    EXPECT_TRUE(ran.out.starts_with("activity,clock,weighting,")) << ran.out.substr(0, 60);
}

TEST_F(AgreementVerb, WhatIsNotThereIsSaidWithTheContractsExitCode) {
    EXPECT_EQ(
        run({"agreement", "--library", (folder_ / "none").string(), "--project", "trial", "--json"}).code, 4);
    EXPECT_EQ(run({"agreement", "--library", library(), "--project", "none", "--json"}).code, 2);
    EXPECT_EQ(
        run({"agreement", "--library", library(), "--project", "trial", "--by", "colour", "--json"}).code, 2);
    EXPECT_FALSE(fs::exists(folder_ / "none"));
}

TEST_F(AgreementVerb, EveryKeyOfTheContractIsThere) {
    const auto found = groups({"--by", "device"}).at(0);

    for (const auto* key :
         {"by", "clock", "sessions", "sessions_refused", "late_start_s", "early_stop_s",
          "own_span_coverage_pct", "flags_by_hand", "wearers", "pairs", "coverage_pct", "independent_s",
          "excluded_reference_s", "time_weighted", "session_weighted", "limits", "attribution", "criteria"})
        EXPECT_TRUE(found.contains(key)) << key;
    for (const auto* form : {"shown", "because", "simple", "repeated_pairs", "repeated_pairs_mover", "exact",
                             "bootstrap", "percentiles", "by_magnitude"})
        EXPECT_TRUE(found["limits"].contains(form)) << form;
    for (const auto* key : {"b0", "b1", "c0", "c1", "residual_sd_bpm"})
        EXPECT_TRUE(found["limits"]["by_magnitude"].contains(key)) << key;
}

TEST_F(AgreementVerb, AskedTwiceItAnswersAlike) {
    const std::vector<std::string> words{"agreement", "--library", library(), "--project", "trial", "--json"};

    const auto first = run(words), second = run(words);

    EXPECT_EQ(first.out, second.out);
}

// By hand: the rows of activity 1 are of length 1500 and 1600 s: 300 and 320 whole epochs of 5 s.
TEST_F(AgreementVerb, EpochsAreCountedInPlaceOfSeconds) {
    const auto found = groups({"--activity", "rowing", "--epoch", "5"});

    EXPECT_NEAR(found.at(0)["pairs"].get<double>(), 620, 4);
}

TEST_F(AgreementVerb, CriteriaComeFromAFileAndAreJudged) {
    const auto file = folder_ / "criteria.json";
    std::ofstream{file} << R"({"schema": "beatwitness.criteria/1", "criteria": [
        {"metric": "mae_bpm", "limit": 1000, "set_at": "2000-01-01T00:00:00Z"},
        {"metric": "mae_bpm", "limit": 0.001, "activity": "walking", "sense": "at most"},
        {"metric": "bias_bpm", "limit": 1, "device": "another"}]})";

    const auto rowing = groups({"--activity", "rowing", "--criteria", file.string()}).at(0)["criteria"];
    const auto walking = groups({"--activity", "walking", "--criteria", file.string()}).at(0)["criteria"];

    ASSERT_EQ(rowing.size(), 1u);
    EXPECT_EQ(rowing[0]["before_data"], true);
    ASSERT_EQ(walking.size(), 2u);
    EXPECT_EQ(walking[1]["verdict"], "cannot tell yet") << "one session has no interval";
    EXPECT_TRUE(walking[1]["sessions_needed"].is_null());
}

TEST_F(AgreementVerb, CriteriaThatMakeNoSenseAreNamedWithTheirPlace) {
    const auto file = folder_ / "criteria.json";
    std::ofstream{file}
        << R"({"schema": "beatwitness.criteria/1", "criteria": [{"metric": "speed", "limit": 1}]})";

    const auto ran = run(
        {"agreement", "--library", library(), "--project", "trial", "--criteria", file.string(), "--json"});

    EXPECT_EQ(ran.code, 3);
    EXPECT_NE(ran.err.find("criteria[0]: a metric such as"), std::string::npos) << ran.err;
    EXPECT_TRUE(ran.parsed().contains("error"));
}

TEST_F(AgreementVerb, DevicesAreComparedOnSharedSessions) {
    const auto watch = workout("watch0", 0, 6.0);
    ASSERT_EQ(run({"add", "--library", library(), "--project", "pair", "--session", "both", "--activity",
                   "rowing", "--reference", "strap=" + (folder_ / "strap0.csv").string(), "--test",
                   "band=" + (folder_ / "band0.csv").string(), "--test", "watch=" + watch})
                  .code,
              0);

    const auto ran =
        run({"agreement", "--library", library(), "--project", "pair", "--compare", "watch,band", "--json"});
    const auto found = ran.parsed()["comparisons"];

    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0]["a"], "watch");
    EXPECT_EQ(found[0]["paired"], true);
    EXPECT_EQ(found[0]["sessions"], 1);
    EXPECT_NEAR(found[0]["as_recorded"]["mae_bpm"]["difference"], 5, 0.1);
    EXPECT_TRUE(found[0]["mae_bpm"]["ci95"].is_null());
    EXPECT_TRUE(found[0]["mae_bpm"]["p_holm"].is_null());
}

TEST_F(AgreementVerb, DevicesThatWereNeverWornCannotBeCompared) {
    const auto ran =
        run({"agreement", "--library", library(), "--project", "trial", "--compare", "band,ring"});

    EXPECT_EQ(ran.code, 2);
    EXPECT_NE(ran.err.find("ring"), std::string::npos) << ran.err;
    EXPECT_EQ(run({"agreement", "--library", library(), "--project", "trial", "--compare", "band"}).code, 2);
}

TEST_F(AgreementVerb, AFrozenEditionShowsWhatChangedSince) {
    const std::vector<std::string> ask{"agreement", "--library", library(), "--project", "trial"};
    auto freeze = ask, open = ask;
    freeze.insert(freeze.end(), {"--freeze", "first", "--by", "device"});
    open.insert(open.end(), {"--edition", "first", "--json"});
    ASSERT_EQ(run(freeze).code, 0);

    const auto before = run(open).parsed()["edition"];
    ASSERT_EQ(run({"add", "--library", library(), "--project", "trial", "--session", "day 9", "--activity",
                   "rowing", "--reference", "strap=" + workout("strap9", 9, 0), "--test",
                   "band=" + workout("band9", 9, 4)})
                  .code,
              0);
    const auto after = run(open).parsed()["edition"];

    EXPECT_TRUE(before["changes"].empty());
    EXPECT_EQ(after["because"][0], "sessions: 1 came, 0 went, 0 changed");
    EXPECT_FALSE(after["changes"].empty());
    EXPECT_EQ(run(freeze).code, 2) << "what is frozen stays";
}

TEST_F(AgreementVerb, RobustnessListsTheChoicesOfAMetric) {
    const auto ran = run({"agreement", "--library", library(), "--project", "trial", "--by", "device",
                          "--robustness", "mae_bpm", "--json"});

    const auto found = ran.parsed()["robustness"];

    ASSERT_EQ(found.size(), 1u);
    EXPECT_EQ(found[0]["rows"].size(), 23u);
    EXPECT_LE(found[0]["lowest"].get<double>(), found[0]["highest"].get<double>());
    EXPECT_EQ(run({"agreement", "--library", library(), "--project", "trial", "--robustness", "speed"}).code,
              2);
}

TEST_F(AgreementVerb, ThePlanStandsAloneBeforeAnyResult) {
    const auto ran = run({"agreement", "--library", library(), "--project", "trial", "--plan", "--json"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto plan = ran.parsed();
    EXPECT_EQ(plan["schema"], "beatwitness.plan/1");
    EXPECT_EQ(plan["sha256"].get<std::string>().size(), 64u);
    EXPECT_FALSE(plan.contains("groups"));
}

TEST_F(AgreementVerb, AnAssumptionWithoutAPlanIsRefused) {
    const auto ran =
        run({"agreement", "--library", library(), "--project", "trial", "--expect", "4", "2", "--json"});

    EXPECT_EQ(ran.code, 2);
}

TEST_F(AgreementVerb, AVersionThatWasNeverWornIsNamed) {
    const auto ran = run({"agreement", "--library", library(), "--project", "trial", "--compare",
                          "band firmware 9,band", "--json"});

    EXPECT_NE(ran.code, 0);
    EXPECT_NE(ran.err.find("band firmware 9"), std::string::npos);
}
