#include "core/library/migrations.h"

#include <fstream>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Database;
using library::Migration;
namespace fs = std::filesystem;

namespace {

/// A row in every table as the first version laid them out.
constexpr auto firstVersionRows =
    "INSERT INTO wearer VALUES (1, 'A', 'left-handed', 1988, 'f', 171.5, 64.25, 'III', 15.5, NULL);"
    "INSERT INTO device VALUES (1, 'strap', 'ECG', 'worn wet', NULL), (2, 'band', '', '', 77);"
    "INSERT INTO activity VALUES (1, 'rowing ergometer', 'damper 5', NULL);"
    "INSERT INTO session VALUES (1, 'pyramid', 1, 1, 'windy', 'Europe/Oslo', 5, 6, 7, 8, NULL);"
    "INSERT INTO project VALUES (1, 'band trial', 'does it follow?', 9, NULL);"
    "INSERT INTO project_session VALUES (1, 1); INSERT INTO project_device VALUES (1, 2, 0);"
    "INSERT INTO wearing VALUES (1, 1, 0, 1, 'reference', 'u1', '2.4', 'chest', 'left', 'snug', 'row', "
    "'recorded', '', NULL), (2, 1, 1, 2, 'test', '', '', '', '', '', '', 'failed', 'flat battery', 10);"
    "INSERT INTO recording VALUES (1, 'abc', 'strap.fit', 'fit', 'utc', 'strap', 3, 1.5, 'beatwitness', 11);"
    "INSERT INTO original VALUES (1, 4, x'01020304');"
    "INSERT INTO channel VALUES (1, 0, 'heart_rate', 3, x'0506', x'0708');"
    "INSERT INTO recording_lap VALUES (1, 0, 12, 13, 'effort');"
    "INSERT INTO recording_pause VALUES (1, 0, 14, 15);"
    "INSERT INTO recording_guess VALUES (1, 0, 'separator', 'comma');"
    "INSERT INTO recording_warning VALUES (1, 0, 'cut short');"
    "INSERT INTO wearing_recording VALUES (1, 0, 1, 16, 17);"
    "INSERT INTO journal VALUES (1, 18, 'beatwitness', 'session added', 1)";

/// One text of all columns that the first version had, each value quoted.
std::string everyValueOfTheFirstVersion() {
    const std::pair<const char*, std::vector<const char*>> tables[] = {
        {"wearer",
         {"id", "label", "note", "birth_year", "sex", "height_cm", "mass_kg", "skin_tone", "wrist_cm",
          "deleted_at_us"}},
        {"device", {"id", "label", "sensor", "note", "deleted_at_us"}},
        {"activity", {"id", "label", "note", "deleted_at_us"}},
        {"session",
         {"id", "name", "activity_id", "wearer_id", "note", "zone", "start_us", "counted_begin_us",
          "counted_end_us", "added_at_us", "deleted_at_us"}},
        {"project", {"id", "label", "question", "added_at_us", "deleted_at_us"}},
        {"project_session", {"project_id", "session_id"}},
        {"project_device", {"project_id", "device_id", "ordinal"}},
        {"wearing",
         {"id", "session_id", "ordinal", "device_id", "role", "unit", "firmware", "position", "side",
          "tightness", "mode", "outcome", "reason", "deleted_at_us"}},
        {"recording",
         {"id", "sha256", "file", "format", "clock", "device", "row_count", "artefact_pct", "read_by",
          "added_at_us"}},
        {"original", {"recording_id", "size", "bytes"}},
        {"channel", {"recording_id", "ordinal", "kind", "samples", "times", "\"values\""}},
        {"recording_lap", {"recording_id", "ordinal", "begin_us", "end_us", "label"}},
        {"recording_pause", {"recording_id", "ordinal", "begin_us", "end_us"}},
        {"recording_guess", {"recording_id", "ordinal", "what", "guess"}},
        {"recording_warning", {"recording_id", "ordinal", "sentence"}},
        {"wearing_recording", {"wearing_id", "ordinal", "recording_id", "begin_us", "end_us"}},
        {"journal", {"id", "at_us", "program", "what", "session_id"}}};
    std::string sql = "SELECT ";
    for (const auto& [table, columns] : tables) {
        std::string row = "''";
        for (const auto* column : columns)
            row += std::string{" || quote("} + column + ") || ' '";
        sql += std::string{"(SELECT group_concat("} + row + ") FROM " + table + ") || char(10) || ";
    }
    return sql + "'end'";
}

class Migrations : public tests::LibraryFixture {
protected:
    /// The built-in ones and one of tomorrow.
    static std::vector<Migration> withNext(const char* sql) {
        const auto builtIn = library::builtInMigrations();
        std::vector<Migration> all(builtIn.begin(), builtIn.end());
        all.push_back({all.back().version + 1, sql});
        return all;
    }
    Database connected() const {
        auto database = Database::open(path(), Database::Mode::ReadWrite, std::chrono::milliseconds{0});
        return std::move(*database);
    }
    void storeOne() const {
        auto library = opened();
        const auto draft = tests::pairDraft("one", 1);
        ASSERT_TRUE(library.addSessions(std::span{&draft, 1}));
    }
    std::string contentOf(const fs::path& file) const {
        std::ifstream in{file, std::ios::binary};
        return {std::istreambuf_iterator<char>{in}, {}};
    }
};

}  // namespace

TEST_F(Migrations, AreNumberedFromOneWithoutGaps) {
    int expected = 1;

    for (const auto& migration : library::builtInMigrations())
        EXPECT_EQ(migration.version, expected++);
}

TEST_F(Migrations, AnOlderFileIsCopiedAndBroughtUp) {
    storeOne();
    const auto version = std::to_string(library::builtInMigrations().back().version);

    {
        auto database = connected();
        const auto done = library::migrate(
            database, withNext("ALTER TABLE device ADD COLUMN strap TEXT NOT NULL DEFAULT 'grey'"));
        ASSERT_TRUE(done) << done.fault().message;
    }

    EXPECT_EQ(tests::rawSql(path(), "SELECT strap FROM device"), "grey");
    EXPECT_EQ(tests::rawSql(path(), "PRAGMA user_version"), std::to_string(std::stoi(version) + 1));
    const auto copy = path("harbour.library.version-" + version);
    ASSERT_TRUE(fs::exists(copy));
    EXPECT_EQ(tests::rawSql(copy, "SELECT name FROM session"), "one");
    EXPECT_EQ(tests::rawSql(copy, "PRAGMA user_version"), version);
}

TEST_F(Migrations, OneThatFailsHalfWayLeavesTheFileAsItWas) {
    storeOne();
    const auto before = contentOf(path());

    {
        auto database = connected();
        const auto done = library::migrate(
            database, withNext("DELETE FROM journal; ALTER TABLE absent ADD COLUMN colour TEXT"));
        EXPECT_FALSE(done);
    }

    EXPECT_TRUE(contentOf(path()) == before);
    EXPECT_EQ(namesInFolder().size(), 1u);
}

TEST_F(Migrations, OneThatLeavesRowsPointingNowhereIsRefused) {
    storeOne();
    const auto before = contentOf(path());

    {
        auto database = connected();
        const auto done = library::migrate(database, withNext("DELETE FROM device"));
        ASSERT_FALSE(done);
        EXPECT_EQ(done.fault().code, FaultCode::LibraryDamaged);
    }

    EXPECT_TRUE(contentOf(path()) == before);
}

TEST_F(Migrations, ACopyIsNeverWrittenOver) {
    storeOne();
    const auto taken =
        path("harbour.library.version-" + std::to_string(library::builtInMigrations().back().version));
    std::ofstream{taken} << "mine";

    {
        auto database = connected();
        ASSERT_TRUE(library::migrate(database, withNext("CREATE TABLE more (id INTEGER PRIMARY KEY)")));
    }

    EXPECT_EQ(contentOf(taken), "mine");
    EXPECT_TRUE(fs::exists(taken.string() + ".2"));
}

TEST_F(Migrations, AFileOfTodayIsLeftAlone) {
    storeOne();
    const auto before = contentOf(path());

    {
        auto database = connected();
        ASSERT_TRUE(library::migrate(database, library::builtInMigrations()));
    }

    EXPECT_TRUE(contentOf(path()) == before);
    EXPECT_EQ(namesInFolder().size(), 1u);
}

TEST_F(Migrations, ALibraryOfTheFirstVersionKeepsEveryValueOfEveryTable) {
    {
        auto database = connected();
        ASSERT_TRUE(library::migrate(database, library::builtInMigrations().first(1)));
    }
    ASSERT_EQ(tests::rawSql(path(), firstVersionRows), "");
    const auto before = tests::rawSql(path(), everyValueOfTheFirstVersion());
    ASSERT_GT(before.size(), 400u) << before;

    const auto library = opened();

    EXPECT_EQ(tests::rawSql(path(), everyValueOfTheFirstVersion()), before);
    EXPECT_EQ(tests::rawSql(path("harbour.library.version-1"), everyValueOfTheFirstVersion()), before);
}

TEST_F(Migrations, AWearingOfTheFirstVersionIsAlignedAutomatically) {
    {
        auto database = connected();
        ASSERT_TRUE(library::migrate(database, library::builtInMigrations().first(1)));
    }
    ASSERT_EQ(tests::rawSql(path(), firstVersionRows), "");

    auto library = opened();

    const auto wearing = library.particulars(library::WearingId{1});
    ASSERT_TRUE(wearing) << wearing.fault().message;
    EXPECT_EQ(wearing->clock.method, library::ClockMethod::Auto);
    EXPECT_EQ(wearing->facts.firmware, "2.4");
}
