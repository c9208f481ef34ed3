#include "core/library/migrations.h"

#include <fstream>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Database;
using library::Migration;
namespace fs = std::filesystem;

namespace {

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
            database, withNext("ALTER TABLE device ADD COLUMN colour TEXT NOT NULL DEFAULT 'grey'"));
        ASSERT_TRUE(done) << done.fault().message;
    }

    EXPECT_EQ(tests::rawSql(path(), "SELECT colour FROM device"), "grey");
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
