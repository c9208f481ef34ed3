// The verbs as another program sees them: exit code, JSON on standard output, sentences on standard error.

#include "tests/verbs/verb_run.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include <unistd.h>

#include "tests/support/shared_files.h"

using namespace beatwitness;
using nlohmann::json;
using tests::Ran;
using tests::run;
namespace fs = std::filesystem;

namespace {

class CommandLine : public testing::Test {
protected:
    void SetUp() override {
        folder_ = fs::temp_directory_path() / ("beatwitness-verbs-" + std::to_string(::getpid()));
        fs::create_directories(folder_);
    }
    void TearDown() override { fs::remove_all(folder_); }

    std::string file(const std::string& name, const std::string& text) {
        const auto path = folder_ / name;
        std::ofstream{path} << text;
        return path.string();
    }

    /// A session with two efforts, a row a second from `start_s` on.
    std::string workout(const std::string& name, double start_s, double bias_bpm, int seconds = 1500) {
        std::string text = "timestamp,hr\n";
        for (int t = 0; t < seconds; ++t) {
            const double rate =
                90 + 50 / (1 + std::exp(-(t - 200) / 20.0)) - 40 / (1 + std::exp(-(t - 600) / 35.0)) +
                45 / (1 + std::exp(-(t - 900) / 25.0)) - 40 / (1 + std::exp(-(t - 1200) / 30.0));
            text += std::to_string(start_s + t) + "," + std::to_string(std::lround(rate + bias_bpm)) + "\n";
        }
        return file(name, text);
    }

    fs::path folder_;
};

constexpr double start = 1930380000;

}  // namespace

TEST_F(CommandLine, AnalysePrintsTheSchemaOfTheContract) {
    const auto ran = run({"analyse", "--reference", workout("strap.csv", start, 0), "--test",
                          workout("band.csv", start + 7, 2), "--json"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto printed = ran.parsed();
    EXPECT_EQ(printed["schema"], "beatwitness.analysis/1");
    EXPECT_TRUE(printed["program"].get<std::string>().starts_with("beatwitness "));
    EXPECT_EQ(printed["settings"]["max_gap_s"], 10);
    EXPECT_EQ(printed["settings"]["excluded_reference_s"], 0);
    EXPECT_EQ(printed["reference"]["samples"], 1500);
    EXPECT_EQ(printed["reference"]["start"], "2031-03-04T08:40:00.000Z");
    const auto& test = printed["tests"][0];
    for (const auto* key : {"file", "sha256", "format", "samples", "missing", "start", "duration_s",
                            "median_interval_s", "warnings", "alignment", "agreement", "flags"})
        EXPECT_TRUE(test.contains(key)) << key;
    EXPECT_EQ(test["alignment"]["method"], "auto");
    EXPECT_EQ(test["alignment"]["applied"], true);
    EXPECT_NEAR(test["alignment"]["offset_s"], -7, 0.3);
    EXPECT_EQ(test["alignment"]["offset_ci95_s"].size(), 2u);
    EXPECT_NEAR(test["agreement"]["aligned"]["bias_bpm"], 2, 0.05);
    EXPECT_EQ(test["agreement"]["aligned"].size(), 15u);
}

TEST_F(CommandLine, AlignNoneLeavesNullsAndNoReason) {
    const auto ran = run({"analyse", "--reference", workout("strap.csv", start, 0), "--test",
                          workout("band.csv", start + 7, 2), "--align", "none", "--json"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto alignment = ran.parsed()["tests"][0]["alignment"];
    EXPECT_EQ(alignment["applied"], false);
    for (const auto* key : {"offset_s", "offset_ci95_s", "drift_ppm", "drift_ci95_ppm", "refused_because"})
        EXPECT_TRUE(alignment[key].is_null()) << key;
    EXPECT_TRUE(ran.parsed()["tests"][0]["agreement"]["aligned"].is_null());
}

TEST_F(CommandLine, AlignOffsetAppliesWhatIsTyped) {
    const auto ran =
        run({"analyse", "--reference", workout("strap.csv", start, 0), "--test",
             workout("band.csv", start + 7, 2), "--align", "offset", "--offset", "-7", "--json"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto test = ran.parsed()["tests"][0];
    EXPECT_EQ(test["alignment"]["applied"], true);
    EXPECT_EQ(test["alignment"]["offset_s"], -7);
    EXPECT_TRUE(test["alignment"]["offset_ci95_s"].is_null());
    EXPECT_NEAR(test["agreement"]["aligned"]["bias_bpm"], 2, 0.01);
}

TEST_F(CommandLine, ARefusedAlignmentIsDoneAndSaysWhy) {
    const auto ran = run({"analyse", "--reference", workout("strap.csv", start, 0, 200), "--test",
                          workout("band.csv", start, 2, 200), "--json"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    const auto alignment = ran.parsed()["tests"][0]["alignment"];
    EXPECT_EQ(alignment["applied"], false);
    EXPECT_TRUE(alignment["refused_because"].is_string());
}

TEST_F(CommandLine, AFileWithoutHeartRateHoldsNothingToCompare) {
    const auto ran = run({"analyse", "--reference", workout("strap.csv", start, 0), "--test",
                          file("steps.csv", "timestamp,cadence\n1930380000,80\n1930380001,81\n"), "--json"});

    EXPECT_EQ(ran.code, 1);
    EXPECT_EQ(ran.parsed()["error"]["code"], "no-heart-rate");
    EXPECT_NE(ran.err.find("steps.csv"), std::string::npos);
}

TEST_F(CommandLine, WrongUsageIsTwoAndStaysValidJson) {
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"analyse", "--json"},
          {"analyse", "--reference", "a", "--test", "b", "--align", "sideways", "--json"},
          {"analyse", "--reference", "a", "--test", "b", "--align", "offset", "--json"},
          {"analyse", "--reference", "a", "--test", "b", "--offset", "3", "--json"},
          {"inspect", "--json"},
          {"inspect", "a.csv", "--separator", "comma and a half", "--json"},
          {"nonsense", "--json"}}) {
        const auto ran = run(words);

        EXPECT_EQ(ran.code, 2) << words[0];
        EXPECT_EQ(ran.parsed()["error"]["code"], "wrong-usage") << ran.out;
        EXPECT_FALSE(ran.err.empty());
    }
}

TEST_F(CommandLine, AWordThatIsNoVerbIsNamed) {
    const auto ran = run({"inspct", "a.fit"});

    EXPECT_EQ(ran.code, 2);
    EXPECT_NE(ran.err.find("\"inspct\" is neither a verb"), std::string::npos) << ran.err;
}

TEST_F(CommandLine, AFileThatIsNotThereIsThree) {
    const auto missing = (folder_ / "missing.fit").string();

    const auto ran =
        run({"analyse", "--reference", missing, "--test", workout("band.csv", start, 0), "--json"});

    EXPECT_EQ(ran.code, 3);
    EXPECT_EQ(ran.parsed()["error"]["file"], missing);
    EXPECT_NE(ran.err.find(missing), std::string::npos);
}

TEST_F(CommandLine, InspectGoesOnPastAFileItCannotRead) {
    const auto ran =
        run({"inspect", folder_.string(), workout("band.csv", start, 0), file("empty.fit", ""), "--json"});

    EXPECT_EQ(ran.code, 3);
    const auto files = ran.parsed()["files"];
    ASSERT_EQ(files.size(), 3u);
    EXPECT_EQ(files[0]["error"]["code"], "not-a-file");
    EXPECT_EQ(files[1]["samples"], 1500);
    EXPECT_EQ(files[2]["error"]["code"], "empty");
}

TEST_F(CommandLine, InspectPrintsEveryKeyOfTheContract) {
    const auto ran = run({"inspect", workout("band.csv", start, 0), "--json"});

    ASSERT_EQ(ran.code, 0);
    EXPECT_EQ(ran.parsed()["schema"], "beatwitness.inspect/1");
    const auto file = ran.parsed()["files"][0];
    for (const auto* key : {"file", "sha256", "format", "device", "samples", "missing", "start", "end",
                            "duration_s", "median_interval_s", "min_bpm", "mean_bpm", "max_bpm", "channels",
                            "laps", "guessed", "artefact_pct", "parts", "warnings"})
        EXPECT_TRUE(file.contains(key)) << key;
}

TEST_F(CommandLine, ContextChannelsAreNamed) {
    const auto ran = run({"analyse", "--reference", workout("strap.csv", start, 0), "--test",
                          workout("band.csv", start, 2), "--context",
                          file("steps.csv", "timestamp,cadence\n1930380000,80\n1930380001,81\n"), "--json"});

    ASSERT_EQ(ran.code, 0) << ran.err;
    EXPECT_EQ(ran.parsed()["contexts"][0]["channels"], json::array({"cadence"}));
}

TEST_F(CommandLine, TextShowsBothClocksAndTheCaution) {
    const auto ran = run({"analyse", "--reference", workout("strap.csv", start, 0), "--test",
                          workout("band.csv", start + 7, 2)});

    EXPECT_EQ(ran.code, 0);
    EXPECT_NE(ran.out.find("as recorded"), std::string::npos);
    EXPECT_NE(ran.out.find("Not a medical device"), std::string::npos);
}
