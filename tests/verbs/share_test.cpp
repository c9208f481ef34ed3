#include <fmt/format.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "core/report/share/share.h"
#include "tests/evaluation/small_evidence.h"
#include "tests/support/shared_files.h"
#include "tests/verbs/verb_run.h"

/// What `share` leaves behind, read by other means and held against `agreement`.
namespace beatwitness::tests {
namespace {

namespace fs = std::filesystem;

class ShareVerb : public ::testing::Test {
protected:
    ShareVerb() {
        fs::create_directories(folder_);
        (void)run({"add", "--library", library(), "--manifest",
                   (projectFolder() / "sample-sessions" / "manifest.json").string()});
    }
    ~ShareVerb() override { fs::remove_all(folder_); }

    [[nodiscard]] std::string library() const { return (folder_ / "sample.beatwitness").string(); }
    [[nodiscard]] fs::path out() const { return folder_ / "out"; }
    [[nodiscard]] Ran share(const std::string& as) const {
        return run({"share", "--library", library(), "--project", "Harbour Crew", "--as", as, "--out",
                    out().string()});
    }
    [[nodiscard]] static nlohmann::json agreement(const std::string& library) {
        return run({"agreement", "--library", library, "--project", "Harbour Crew", "--json"})
            .parsed()["groups"];
    }

    fs::path folder_ = fs::temp_directory_path() / fmt::format("share-{}", ::getpid());
};

std::string textOf(const fs::path& file) {
    std::ifstream in{file, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

/// Cells of every line; none of the files at hand quotes a comma in the columns that are read.
std::vector<std::vector<std::string>> rowsOf(const fs::path& file) {
    std::vector<std::vector<std::string>> rows;
    std::istringstream lines{textOf(file)};
    for (std::string line; std::getline(lines, line);) {
        if (!line.empty() && line.back() == '\r') line.pop_back();
        std::vector<std::string> cells{""};
        bool quoted = false;
        for (const char c : line) {
            if (c == '"')
                quoted = !quoted;
            else if (c == ',' && !quoted)
                cells.emplace_back();
            else
                cells.back().push_back(c);
        }
        rows.push_back(std::move(cells));
    }
    return rows;
}

struct Sums {
    double pairs = 0, error = 0, absolute = 0;
};

/// By activity and device, from the pairs alone.
std::map<std::pair<std::string, std::string>, Sums> sumsOf(const fs::path& pairs) {
    std::map<std::pair<std::string, std::string>, Sums> sums;
    const auto index = rowsOf(pairs / "index.csv");
    for (std::size_t i = 1; i < index.size(); ++i) {
        auto& into = sums[{index[i][3], index[i][4]}];
        const auto rows = rowsOf(pairs / index[i][0]);
        for (std::size_t j = 1; j < rows.size(); ++j)
            if (!rows[j][3].empty()) {
                const double error = std::stod(rows[j][3]);
                ++into.pairs, into.error += error, into.absolute += std::abs(error);
            }
    }
    return sums;
}

}  // namespace

// The sums are made here, from the bundle's own CSV.
TEST_F(ShareVerb, ABundleGivesAwayEnoughToComputeTheErrorsAgain) {
    ASSERT_EQ(share("bundle").code, 0);
    const auto sums = sumsOf(out() / "pairs");

    const auto answer = nlohmann::json::parse(textOf(out() / "agreement.json"));

    std::size_t compared = 0;
    for (const auto& group : answer["groups"]) {
        if (group["clock"] != "aligned") continue;
        const auto& found = sums.at({group["by"]["activity"], group["by"]["device"]});
        const auto& figures = group["time_weighted"];
        EXPECT_EQ(found.pairs, group["pairs"].get<double>());
        EXPECT_NEAR(found.error / found.pairs, figures["bias_bpm"]["value"].get<double>(), 1e-9);
        EXPECT_NEAR(found.absolute / found.pairs, figures["mae_bpm"]["value"].get<double>(), 1e-9);
        ++compared;
    }
    EXPECT_EQ(compared, 10u);
}

TEST_F(ShareVerb, ACopyAnswersAsTheLibraryDoes) {
    ASSERT_EQ(share("copy").code, 0);

    EXPECT_EQ(agreement(out().string()), agreement(library()));
}

TEST_F(ShareVerb, AProjectIsALibraryOfItsOwn) {
    ASSERT_EQ(share("project").code, 0);

    EXPECT_EQ(agreement(out().string()), agreement(library()));
}

TEST_F(ShareVerb, TablesNameEverySessionAndWearing) {
    ASSERT_EQ(share("tables").code, 0);

    // Counted in the manifest: fifteen straps, one of them doubled, fifteen bands, fourteen watches and one
    // that failed.
    EXPECT_EQ(rowsOf(out() / "sessions.csv").size() - 1, 46u);
}

// The ride begins at 16:20:00; a phase of the minute from 16:30 and a pin at 16:25.
TEST_F(ShareVerb, TablesHoldPhasesAndPins) {
    using namespace std::chrono_literals;
    {
        auto stored = library::Library::open(library());
        ASSERT_TRUE(stored);
        const auto sessions = stored->allSessions();
        ASSERT_TRUE(sessions);
        for (const auto& row : *sessions) {
            if (row.name != "coast road") continue;
            const ReferenceTime begin{*row.start};
            ASSERT_TRUE(stored->setMarks(row.id,
                                         {{{begin + 600s, begin + 660s},
                                           trace::PhaseKind::Effort,
                                           trace::PhaseOrigin::Hand,
                                           0,
                                           "harbour hill"}},
                                         std::vector<trace::Pin>{{begin + 300s, "strap tightened"}}));
        }
    }

    ASSERT_EQ(share("tables").code, 0);

    const auto rows = rowsOf(out() / "phases-and-pins.csv");
    ASSERT_EQ(rows.size(), 3u);
    EXPECT_EQ(rows[1][4], "harbour hill");
    EXPECT_EQ(rows[1][8] + " " + rows[1][9], "600 660");
    EXPECT_EQ(rows[2][3] + " " + rows[2][4] + " " + rows[2][8], "pin strap tightened 300");
}

TEST_F(ShareVerb, PairsAreAFileAWearing) {
    ASSERT_EQ(share("pairs").code, 0);

    EXPECT_EQ(rowsOf(out() / "index.csv").size() - 1, 29u);
}

TEST_F(ShareVerb, OfAnUnknownProjectWritesNothing) {
    const auto ran = run({"share", "--library", library(), "--project", "Harbor Crew", "--as", "tables",
                          "--out", out().string()});

    EXPECT_EQ(ran.code, 2);
    EXPECT_FALSE(fs::exists(out()));
}

TEST_F(ShareVerb, SaysWhereItCannotWrite) {
    std::ofstream{out()} << "a file";

    const auto ran = run({"share", "--library", library(), "--project", "Harbour Crew", "--as", "tables",
                          "--out", (out() / "below").string()});

    EXPECT_EQ(ran.code, 3);
    EXPECT_NE(ran.err.find("could not be written"), std::string::npos) << ran.err;
}

TEST_F(ShareVerb, KnowsNoOtherKind) {
    EXPECT_EQ(share("everything").code, 2);
}

TEST(PairsCsv, LeavesACellEmptyWhereTheDeviceHasNoValue) {
    const auto one = evidence(1, "band", "row", {100, 101, 102}, {98, 0, 103});

    EXPECT_EQ(report::pairsCsv(one),
              "second_s,reference_bpm,aligned_bpm,error_bpm,as_recorded_bpm,flag\r\n0,100,98,-2,98,\r\n1,101,"
              ",,,\r\n"
              "2,102,103,1,103,\r\n");
}

}  // namespace beatwitness::tests
