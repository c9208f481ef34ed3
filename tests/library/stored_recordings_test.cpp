// Every recording that can be read comes out of the library as it went in.

#include <set>

#include "core/recording/digest.h"
#include "core/recording/file_bytes.h"
#include "tests/library/library_fixture.h"
#include "tests/support/shared_files.h"

using namespace beatwitness;
namespace fs = std::filesystem;

namespace {

using StoredRecordings = tests::LibraryFixture;

void expectSame(const recording::Recording& a, const recording::Recording& b, const std::string& name) {
    EXPECT_EQ(a.format, b.format) << name;
    EXPECT_EQ(a.device, b.device) << name;
    EXPECT_EQ(a.clock, b.clock) << name;
    EXPECT_EQ(a.rows, b.rows) << name;
    EXPECT_EQ(a.artefactShare_pct, b.artefactShare_pct) << name;
    EXPECT_EQ(a.guessed, b.guessed) << name;
    EXPECT_EQ(a.warnings, b.warnings) << name;
    ASSERT_EQ(a.channels.size(), b.channels.size()) << name;
    for (std::size_t i = 0; i < a.channels.size(); ++i) {
        EXPECT_EQ(a.channels[i].kind, b.channels[i].kind) << name;
        EXPECT_EQ(a.channels[i].times, b.channels[i].times) << name;
        EXPECT_EQ(a.channels[i].values, b.channels[i].values) << name;
    }
    ASSERT_EQ(a.laps.size(), b.laps.size()) << name;
    for (std::size_t i = 0; i < a.laps.size(); ++i) {
        EXPECT_EQ(a.laps[i].label, b.laps[i].label) << name;
        EXPECT_EQ(a.laps[i].span.begin, b.laps[i].span.begin) << name;
        EXPECT_EQ(a.laps[i].span.end, b.laps[i].span.end) << name;
    }
    ASSERT_EQ(a.pauses.size(), b.pauses.size()) << name;
    for (std::size_t i = 0; i < a.pauses.size(); ++i) {
        EXPECT_EQ(a.pauses[i].begin, b.pauses[i].begin) << name;
        EXPECT_EQ(a.pauses[i].end, b.pauses[i].end) << name;
    }
}

void storeAndCompare(library::Library& library, const fs::path& path) {
    const auto name = path.string();
    const auto file = library::readForLibrary(path);
    if (!file) return;  // what a reader refuses never reaches the library
    const library::SessionDraft draft{name,
                                      "",
                                      "",
                                      "",
                                      {{library::Role::Reference,
                                        "strap",
                                        {},
                                        library::WearingOutcome::Recorded,
                                        "",
                                        {{*file, std::nullopt}}}}};
    const auto added = library.addSessions(std::span{&draft, 1});
    ASSERT_TRUE(added) << sentence(added.fault());
    const auto id = library.findRecording((*file)->read.sha256);
    ASSERT_TRUE(id && *id) << name;
    const auto stored = library.loadRecording(**id);
    ASSERT_TRUE(stored) << sentence(stored.fault());
    EXPECT_EQ(stored->sha256, recording::sha256((*file)->bytes));
    EXPECT_EQ(stored->file, name);
    expectSame(stored->recording, (*file)->read.recording, name);
    const auto original = library.originalBytes(**id);
    ASSERT_TRUE(original) << name;
    EXPECT_EQ(*original, (*file)->bytes) << name;
}

}  // namespace

TEST_F(StoredRecordings, ComeBackAsTheyWereRead) {
    const auto folder = tests::sharedFile("recordings");
    if (!folder) GTEST_SKIP() << "the shared recordings are not here";
    auto library = opened();
    std::set<std::string> formats;

    for (const auto& entry : fs::recursive_directory_iterator(*folder)) {
        if (!entry.is_regular_file() || entry.path().parent_path() == *folder) continue;
        storeAndCompare(library, entry.path());
        formats.insert(entry.path().extension().string());
    }

    EXPECT_GE(formats.size(), 4u);
    EXPECT_GE(library.allSessions()->size(), 15u);
    EXPECT_TRUE(library.checkIntegrity());
}

// No shared file has all of them at once.
TEST_F(StoredRecordings, KeepLapsPausesGuessesAndWarnings) {
    auto file = std::make_shared<library::ReadFile>(*tests::readText("a.csv", tests::csvText(1, 10)));
    auto& recording = file->read.recording;
    const auto at = [](std::int64_t micros) { return RecordingTime{Micros{micros}}; };
    recording.laps = {{{at(-5), at(7)}, "set 1"}, {{at(8), at(8)}, ""}};
    recording.pauses = {{at(1), at(2)}, {at(3), at(4)}};
    recording.guessed = {{"separator", "semicolon"}, {"zone", "é\n"}};
    recording.warnings = {"first.", "second."};
    recording.artefactShare_pct = 0.1;
    recording.device = "strap \xFF";
    auto library = opened();
    const library::SessionDraft draft{
        "one", "", "", "", {{library::Role::Test, "strap", {}, {}, "", {{file, std::nullopt}}}}};
    ASSERT_TRUE(library.addSessions(std::span{&draft, 1}));

    const auto stored = library.loadRecording(**library.findRecording(file->read.sha256));

    ASSERT_TRUE(stored);
    expectSame(stored->recording, recording, "a.csv");
}
