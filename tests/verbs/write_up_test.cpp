#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <map>
#include <regex>
#include <set>

#include "core/report/write_up/html_writer.h"
#include "core/report/write_up/write_up.h"
#include "tests/support/shared_files.h"
#include "tests/verbs/verb_run.h"

/// The write-up of the sample library against what `agreement` prints of it.
namespace beatwitness::tests {
namespace {

/// Made once: the analyses of fifteen sessions.
struct Sample {
    std::string path =
        (std::filesystem::temp_directory_path() /
         fmt::format("write-up-sample-{}.beatwitness", ::getpid()))  // ctest runs a process a test
            .string();
    report::MadeWriteUp made;
    nlohmann::json byActivity, byDevice;

    Sample() {
        std::filesystem::remove(path);
        (void)run({"add", "--library", path, "--manifest",
                   (projectFolder() / "sample-sessions" / "manifest.json").string()});
        byActivity = groups("device,activity");
        byDevice = groups("device");
        auto library = library::Library::open(path, {.write = false});
        auto result = report::makeWriteUp(*library, "Harbour Crew");
        if (result) made = std::move(*result);
    }
    ~Sample() { std::filesystem::remove(path); }

    [[nodiscard]] nlohmann::json groups(const std::string& by) const {
        return run({"agreement", "--library", path, "--project", "Harbour Crew", "--by", by, "--json"})
            .parsed()["groups"];
    }
};

const Sample& sample() {
    static const Sample only;
    return only;
}

/// Of the first table whose caption begins so.
const report::Table* tableOf(const std::string& caption) {
    for (const auto& section : sample().made.document.sections)
        for (const auto& block : section.blocks)
            if (const auto* table = std::get_if<report::Table>(&block))
                if (table->caption.starts_with(caption)) return table;
    return nullptr;
}

/// Every word of the document.
std::string allText() {
    std::string text;
    for (const auto& section : sample().made.document.sections) {
        text += section.title + "\n";
        for (const auto& block : section.blocks) {
            if (const auto* paragraph = std::get_if<report::Paragraph>(&block))
                text += paragraph->text + "\n";
            if (const auto* bullets = std::get_if<report::Bullets>(&block))
                for (const auto& item : bullets->items)
                    text += item + "\n";
            // Names of thresholds are for looking up.
            const auto* table = std::get_if<report::Table>(&block);
            if (table != nullptr && table->caption != "Every threshold in force.")
                for (const auto& row : table->rows)
                    for (const auto& cell : row)
                        text += cell + "\n";
            if (const auto* picture = std::get_if<report::Picture>(&block)) text += picture->caption + "\n";
        }
    }
    return text;
}

std::string printed(double value, int decimals) {
    char text[64];
    std::snprintf(text, sizeof text, "%.*f", decimals, std::abs(value));
    const bool zero = std::stod(text) == 0;
    return (value < 0 && !zero ? "\u2212" : "") + std::string{text};
}

/// A figure of the JSON as a reader would round it.
std::string expected(const nlohmann::json& figure, int decimals = 1) {
    if (figure["value"].is_null()) return "\u2014";
    auto text = printed(figure["value"], decimals);
    if (!figure["ci95"].is_null())
        text +=
            " (" + printed(figure["ci95"][0], decimals) + " to " + printed(figure["ci95"][1], decimals) + ")";
    return text;
}

/// Rows of a table by activity and device hold these figures of the JSON from column `first` on.
void expectFigures(const std::string& caption, std::size_t first, const std::vector<std::string>& keys,
                   const std::vector<int>& decimals) {
    const auto* table = tableOf(caption);
    ASSERT_NE(table, nullptr) << caption;
    std::size_t compared = 0;
    for (const auto& group : sample().byActivity) {
        if (group["clock"] != "aligned") continue;
        for (const auto& row : table->rows) {
            if (row[0] != group["by"]["activity"] || row[1] != group["by"]["device"]) continue;
            for (std::size_t i = 0; i < keys.size(); ++i, ++compared)
                EXPECT_EQ(row[first + i], expected(group["time_weighted"][keys[i]], decimals[i]))
                    << row[0] << keys[i];
        }
    }
    EXPECT_EQ(compared, table->rows.size() * keys.size());
}

}  // namespace

TEST(SampleWriteUp, PrintsTheErrorsThatAgreementTells) {
    expectFigures("Agreement by activity and device, aligned: evidence", 5,
                  {"bias_bpm", "mae_bpm", "mape_pct"}, {1, 1, 1});
}

TEST(SampleWriteUp, PrintsTheSharesThatAgreementTells) {
    expectFigures("Agreement by activity and device, aligned: share", 2,
                  {"within_5_bpm_pct", "within_10_bpm_pct", "within_10_pct_pct", "within_5_bpm_or_10_pct_pct",
                   "half_rate_pct"},
                  {1, 1, 1, 1, 1});
}

TEST(SampleWriteUp, PrintsTheCorrelationsThatAgreementTells) {
    expectFigures("Agreement by activity and device, aligned: figures that rise", 2,
                  {"rmse_bpm", "pearson_r", "ccc", "icc_2_1"}, {1, 2, 2, 2});
}

TEST(SampleWriteUp, PrintsTheLimitsThatAgreementShows) {
    const auto* table = tableOf("Agreement by activity and device, aligned: standard deviation");
    ASSERT_NE(table, nullptr);

    std::size_t compared = 0;
    for (const auto& group : sample().byActivity) {
        if (group["clock"] != "aligned") continue;
        const auto& limits = group["limits"];
        const auto& shown = limits[limits["shown"].get<std::string>()];
        for (const auto& row : table->rows)
            if (row[0] == group["by"]["activity"] && row[1] == group["by"]["device"]) {
                EXPECT_EQ(row[3].find(expected(shown["lower_bpm"])), 0u) << row[3];
                EXPECT_EQ(row[4].find(expected(shown["upper_bpm"])), 0u) << row[4];
                ++compared;
            }
    }
    EXPECT_EQ(compared, 10u);
}

TEST(SampleWriteUp, PrintsThePooledErrorsThatAgreementTells) {
    const auto* table = tableOf("All activities together, aligned: evidence");
    ASSERT_NE(table, nullptr);

    for (const auto& group : sample().byDevice)
        if (group["clock"] == "aligned")
            for (const auto& row : table->rows)
                if (row[0] == group["by"]["device"]) {
                    EXPECT_EQ(row[5], expected(group["time_weighted"]["mae_bpm"]));
                }
}

TEST(SampleWriteUp, AttributesTheWholeError) {
    const auto* table = tableOf("Contributions to the mean absolute error");
    ASSERT_NE(table, nullptr);

    for (const auto& group : sample().byDevice) {
        if (group["clock"] != "aligned") continue;
        double sum = 0;
        int rows = 0;
        for (const auto& row : table->rows)
            if (row[0] == group["by"]["device"]) sum += std::stod(row[3]), ++rows;
        EXPECT_NEAR(sum, group["time_weighted"]["mae_bpm"]["value"].get<double>(), 0.005 * rows);
    }
}

TEST(SampleWriteUp, TellsTheAttemptThatRecordedNothing) {
    const auto* table = tableOf("Attempts that left no recording");

    ASSERT_NE(table, nullptr);
    ASSERT_EQ(table->rows.size(), 1u);
    EXPECT_EQ(table->rows.front()[1], "pyramid");
}

// The manifest says nothing of the wearer's body, of models, meals or electrodes.
TEST(SampleWriteUp, SaysNotRecordedWhereNothingIsStored) {
    const auto* table = tableOf("What a validation should report");
    ASSERT_NE(table, nullptr);

    std::map<std::string, std::string> items;
    for (const auto& row : table->rows)
        items[row[1]] = row[2];
    for (const auto* item : {"Sex", "Height", "Skin tone", "Meal", "Medication", "Electrodes"})
        EXPECT_EQ(items[item], "not recorded") << item;
}

TEST(SampleWriteUp, NamesEverySessionInTheAppendix) {
    const auto* table = tableOf("Every wearing");
    ASSERT_NE(table, nullptr);

    std::set<std::string> named;
    for (const auto& row : table->rows)
        named.insert(row[0]);
    EXPECT_EQ(named.size(), 15u);
}

TEST(SampleWriteUp, HasEveryRowAtTheWidthOfItsTable) {
    for (const auto& section : sample().made.document.sections)
        for (const auto& block : section.blocks) {
            const auto* table = std::get_if<report::Table>(&block);
            if (table == nullptr) continue;
            const auto fits = [&](const auto& row) { return row.size() == table->columns.size(); };
            EXPECT_TRUE(std::ranges::all_of(table->rows, fits)) << table->caption;
        }
}

TEST(SampleWriteUp, CountsInSingularAndPlural) {
    const std::regex wrong{
        "(^|[^0-9.,])1 (sessions|attempts|wearings|seconds|wearers)|[02-9] "
        "(session|attempt|wearing|wearer)([^a-zA-Z]|$)"};
    const auto text = allText();

    std::smatch found;
    EXPECT_FALSE(std::regex_search(text, found, wrong)) << found.str();
}

TEST(SampleWriteUp, SpeaksNoMachine) {
    const auto text = allText();

    for (const auto* word : {"nan", "null", "inf ", "_bpm", "{}", "nullopt", " ,", "  ", ".."})
        EXPECT_EQ(text.find(word), std::string::npos) << word;
}

TEST(SampleWriteUp, NamesPicturesOnce) {
    std::set<std::string> names;
    for (const auto* picture : report::picturesOf(sample().made.document))
        EXPECT_TRUE(names.insert(picture->name).second) << picture->name;
}

TEST(SampleWriteUp, IsTheSameTwice) {
    auto library = library::Library::open(sample().path, {.write = false});
    const auto again = report::makeWriteUp(*library, "Harbour Crew");

    ASSERT_TRUE(again);
    EXPECT_EQ(report::htmlOf(again->document, {}), report::htmlOf(sample().made.document, {}));
}

TEST(WriteUp, OfAnUnknownProjectSaysSo) {
    auto library = library::Library::open(sample().path, {.write = false});

    const auto made = report::makeWriteUp(*library, "Harbor Crew");

    ASSERT_FALSE(made);
    EXPECT_EQ(made.fault().code, FaultCode::NotInLibrary);
}

TEST(WriteUp, IsNotWrittenByABuildThatCannotDraw) {
    const auto ran =
        run({"report", "--library", sample().path, "--project", "Harbour Crew", "--out", "/tmp"});

    EXPECT_EQ(ran.code, 2);
}

}  // namespace beatwitness::tests
