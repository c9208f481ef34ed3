#include "app/document/sample_library.h"

#include <gtest/gtest.h>

#include <QSignalSpy>
#include <QStandardPaths>
#include <QTemporaryDir>
#include <QTest>
#include <fstream>

#include "core/library/library.h"
#include "widgets/background/task_runner.h"

namespace beatwitness::tests {
namespace {

namespace fs = std::filesystem;

class SampleLibraryCopy : public ::testing::Test {
protected:
    [[nodiscard]] fs::path data() const { return scratch_.path().toStdString() + "/data"; }
    [[nodiscard]] static fs::path samples() { return app::sampleFolder()->absolutePath().toStdString(); }

    /// A folder of one small session.
    [[nodiscard]] fs::path smallSamples() const {
        const fs::path folder = scratch_.path().toStdString() + "/small";
        fs::create_directories(folder);
        std::ofstream{folder / "strap.csv"}
            << "time,hr\n2031-03-02T09:00:00Z,120\n2031-03-02T09:00:01Z,121\n";
        std::ofstream{folder / "manifest.json"}
            << R"({"project":"Small","sessions":[{"name":"one","wearings":[)"
            << R"({"role":"reference","device":"strap","file":"strap.csv"}]}]})";
        return folder;
    }

    static std::vector<library::SessionRow> sessions(const fs::path& path) {
        auto library = library::Library::open(path);
        EXPECT_TRUE(library) << library.fault().message;
        return *library->allSessions();
    }

    /// Files below the data folder.
    [[nodiscard]] std::vector<fs::path> kept() const {
        std::vector<fs::path> files;
        if (!fs::exists(data())) return files;
        for (const auto& entry : fs::recursive_directory_iterator{data()})
            if (entry.is_regular_file()) files.push_back(entry.path());
        return files;
    }

    QTemporaryDir scratch_;
};

// 15 sessions: counted in the diary of sample-sessions/README.md.
TEST_F(SampleLibraryCopy, HoldsEverySessionOfTheManifest) {
    const auto path = app::sampleLibrary(samples(), data());

    ASSERT_TRUE(path) << path.fault().message;
    EXPECT_EQ(sessions(*path).size(), 15u);
}

TEST_F(SampleLibraryCopy, IsOneWholeFile) {
    const auto path = app::sampleLibrary(samples(), data());

    ASSERT_TRUE(path) << path.fault().message;
    EXPECT_EQ(kept(), std::vector{*path});
}

TEST_F(SampleLibraryCopy, KeepsWhatWasDoneInIt) {
    const auto path = app::sampleLibrary(smallSamples(), data());
    ASSERT_TRUE(path) << path.fault().message;
    {
        auto library = library::Library::open(*path);
        ASSERT_TRUE(library->deleteSession(library->allSessions()->front().id));
    }

    const auto again = app::sampleLibrary(smallSamples(), data());

    ASSERT_TRUE(again);
    EXPECT_EQ(*again, *path);
    EXPECT_TRUE(sessions(*again).empty());
}

TEST_F(SampleLibraryCopy, IsMadeAnewBesideTheOldOneWhenAFileChanged) {
    const auto samples = smallSamples();
    const auto before = app::sampleLibrary(samples, data());
    std::ofstream{samples / "strap.csv", std::ios::app} << "2031-03-02T09:00:02Z,122\n";

    const auto after = app::sampleLibrary(samples, data());

    ASSERT_TRUE(before && after);
    EXPECT_NE(*after, *before);
    EXPECT_EQ(kept().size(), 2u);
}

TEST_F(SampleLibraryCopy, LeavesNothingBehindWhenCancelled) {
    std::stop_source stop;
    const RunControl run{stop.get_token(), [&](double) { stop.request_stop(); }};

    const auto path = app::sampleLibrary(samples(), data(), run);

    ASSERT_FALSE(path);
    EXPECT_EQ(path.fault().code, FaultCode::Cancelled);
    EXPECT_TRUE(kept().empty());
}

TEST_F(SampleLibraryCopy, SaysWhereItCouldNotBeMade) {
    std::ofstream{data()} << "a file where the folder should be";

    const auto path = app::sampleLibrary(smallSamples(), data());

    ASSERT_FALSE(path);
    EXPECT_EQ(path.fault().code, FaultCode::LibraryFailed);
    EXPECT_TRUE(path.fault().file.starts_with(data().string())) << path.fault().file;
}

TEST_F(SampleLibraryCopy, ComesFromTheWorkerWithProgress) {
    QStandardPaths::setTestModeEnabled(true);
    QDir(QStandardPaths::writableLocation(QStandardPaths::AppDataLocation) + "/samples").removeRecursively();
    widgets::TaskRunner runner;
    const QSignalSpy progressed(&runner, &widgets::TaskRunner::progressed);
    std::optional<Result<fs::path>> got;

    app::openSampleLibrary(runner, [&](const auto& path) { got.emplace(path); });

    EXPECT_FALSE(got);
    ASSERT_TRUE(QTest::qWaitFor([&] { return got.has_value(); }, 15000));
    ASSERT_TRUE(*got) << got->fault().message;
    EXPECT_TRUE(fs::exists(**got));
    EXPECT_GT(progressed.count(), 0);
    QDir(QStandardPaths::writableLocation(QStandardPaths::AppDataLocation) + "/samples").removeRecursively();
    QStandardPaths::setTestModeEnabled(false);
}

}  // namespace
}  // namespace beatwitness::tests
