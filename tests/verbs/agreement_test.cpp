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
