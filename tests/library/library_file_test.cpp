// One clear sentence for every file that is no library to write to, and nothing lost.

#include <fcntl.h>
#include <sqlite3.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>
#include <fstream>

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using library::Library;
namespace fs = std::filesystem;

namespace {

class LibraryFile : public tests::LibraryFixture {
protected:
    void store(const library::SessionDraft& draft) const {
        auto library = opened();
        ASSERT_TRUE(library.addSessions(std::span{&draft, 1}));
    }
    std::string contentOf(const fs::path& file) const {
        std::ifstream in{file, std::ios::binary};
        return {std::istreambuf_iterator<char>{in}, {}};
    }
};

/// A code and a sentence that names the file.
void expectFault(const Result<Library>& library, FaultCode code, const fs::path& file) {
    ASSERT_FALSE(library);
    EXPECT_EQ(library.fault().code, code) << library.fault().message;
    EXPECT_NE(sentence(library.fault()).find(file.filename().string()), std::string::npos);
}

}  // namespace

TEST_F(LibraryFile, ANewOneCarriesTheApplicationIdOfOurs) {
    store(tests::pairDraft("one", 1));

    const auto content = contentOf(path());

    EXPECT_EQ(content.substr(0, 15), "SQLite format 3");
    EXPECT_EQ(content.substr(68, 4), "BtWn");
}

TEST_F(LibraryFile, OneFileRemainsOnClosing) {
    store(tests::pairDraft("one", 1));

    const auto names = namesInFolder();

    EXPECT_EQ(names, std::vector<std::string>{"harbour.library"});
}

// Bytes 18 and 19 of an SQLite file: 1 for a file that needs no log beside it, 2 for one that does.
TEST_F(LibraryFile, ClosedItNeedsNoLogBesideIt) {
    store(tests::pairDraft("one", 1));

    const auto content = contentOf(path());

    EXPECT_EQ(content.substr(18, 2), "\1\1");
}

TEST_F(LibraryFile, OneFileRemainsWhenTheReaderClosesLast) {
    {
        std::optional<Library> reader;
        auto writer = std::make_unique<Library>(opened());
        const auto draft = tests::pairDraft("one", 1);
        ASSERT_TRUE(writer->addSessions(std::span{&draft, 1}));
        auto second = Library::open(path());
        ASSERT_TRUE(second);
        reader.emplace(std::move(*second));
        ASSERT_TRUE(reader->allSessions());
        writer.reset();
    }

    EXPECT_EQ(namesInFolder(), std::vector<std::string>{"harbour.library"});
    EXPECT_EQ(opened().allSessions()->size(), 1u);
}

TEST_F(LibraryFile, TheSecondOpenerReadsAndIsToldWhy) {
    auto first = opened();

    auto second = Library::open(path());

    ASSERT_TRUE(second);
    EXPECT_FALSE(first.readOnlyBecause());
    ASSERT_TRUE(second->readOnlyBecause());
    EXPECT_EQ(second->readOnlyBecause()->code, FaultCode::LibraryLocked);
}

TEST_F(LibraryFile, TheSecondOpenerSeesWhatTheFirstStores) {
    auto first = opened();
    auto second = Library::open(path());
    ASSERT_TRUE(second);
    const auto draft = tests::pairDraft("one", 1);

    ASSERT_TRUE(first.addSessions(std::span{&draft, 1}));

    const auto seen = second->allSessions();
    ASSERT_TRUE(seen) << seen.fault().message;
    EXPECT_EQ(seen->size(), 1u);
}

TEST_F(LibraryFile, TheSecondOpenerIsRefusedToWrite) {
    auto first = opened();
    auto second = Library::open(path());
    ASSERT_TRUE(second);
    const auto draft = tests::pairDraft("one", 1);

    const auto added = second->addSessions(std::span{&draft, 1});

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::LibraryLocked);
}

TEST_F(LibraryFile, AnotherNameOfTheFileMeetsTheSameLock) {
    auto first = opened();
    fs::create_symlink(path(), path("other-name"));

    auto second = Library::open(path("other-name"));

    ASSERT_TRUE(second);
    EXPECT_TRUE(second->readOnlyBecause());
}

TEST_F(LibraryFile, TheLockIsFreeAgainAfterClosing) {
    { auto first = opened(); }

    auto second = Library::open(path());

    ASSERT_TRUE(second);
    EXPECT_FALSE(second->readOnlyBecause());
}

TEST_F(LibraryFile, ALeftOverSideFileHindersNobody) {
    store(tests::pairDraft("one", 1));
    std::ofstream{path("harbour.library-writer")} << "";

    auto library = Library::open(path());

    ASSERT_TRUE(library);
    EXPECT_FALSE(library->readOnlyBecause());
}

TEST_F(LibraryFile, AbsentIsAFaultUnlessItMayBeCreated) {
    expectFault(Library::open(path()), FaultCode::LibraryNotOpened, path());

    EXPECT_TRUE(namesInFolder().empty());
}

TEST_F(LibraryFile, AFolderIsNoLibrary) {
    expectFault(Library::open(folder_, {.createIfAbsent = true}), FaultCode::LibraryNotOpened, folder_);
}

TEST_F(LibraryFile, AMissingFolderIsSaid) {
    const auto file = folder_ / "absent" / "harbour.library";

    expectFault(Library::open(file, {.createIfAbsent = true}), FaultCode::LibraryNotOpened, file);
}

TEST_F(LibraryFile, TextIsForeignAndStaysAsItIs) {
    const std::string text(500, 'x');
    std::ofstream{path()} << text;

    expectFault(Library::open(path(), {.createIfAbsent = true}), FaultCode::LibraryForeign, path());

    EXPECT_EQ(contentOf(path()), text);
    EXPECT_EQ(namesInFolder().size(), 1u);
}

TEST_F(LibraryFile, AnotherProgramsSqliteFileIsForeignAndStaysAsItIs) {
    tests::rawSql(path(), "CREATE TABLE thing (id); PRAGMA user_version = 1");
    const auto before = contentOf(path());

    expectFault(Library::open(path(), {.createIfAbsent = true}), FaultCode::LibraryForeign, path());

    EXPECT_TRUE(contentOf(path()) == before);
}

TEST_F(LibraryFile, ANewerVersionIsRefusedAndStaysAsItIs) {
    store(tests::pairDraft("one", 1));
    tests::rawSql(path(), "PRAGMA user_version = 9999");
    const auto before = contentOf(path());

    expectFault(Library::open(path()), FaultCode::LibraryNewer, path());

    EXPECT_TRUE(contentOf(path()) == before);
}

TEST_F(LibraryFile, AReadOnlyFileInAReadOnlyFolderIsReadAndSaysWhyItIsNotWritten) {
    store(tests::pairDraft("one", 1));
    fs::permissions(path(), fs::perms{0444});
    fs::permissions(folder_, fs::perms{0555});

    const int result = tests::inChild(
        [this] {
            auto library = Library::open(path());
            if (!library) return 1;
            if (!library->readOnlyBecause()) return 2;
            if (library->readOnlyBecause()->code != FaultCode::LibraryReadOnly) return 3;
            const auto sessions = library->allSessions();
            if (!sessions || sessions->size() != 1) return 4;
            const auto draft = tests::pairDraft("two", 2);
            const auto added = library->addSessions(std::span{&draft, 1});
            return !added && added.fault().code == FaultCode::LibraryReadOnly ? 0 : 5;
        },
        true);

    fs::permissions(folder_, fs::perms{0755});
    EXPECT_EQ(result, 0);
}

TEST_F(LibraryFile, CopiedWhileOpenItStillReadsFromAReadOnlyFolder) {
    auto library = opened();
    const auto draft = tests::pairDraft("one", 1);
    ASSERT_TRUE(library.addSessions(std::span{&draft, 1}));
    tests::rawSql(path(), "PRAGMA wal_checkpoint(TRUNCATE)");
    fs::create_directory(path("shared"));
    fs::copy_file(path(), path("shared") / "copy.library");
    fs::permissions(path("shared"), fs::perms{0555});

    const int result = tests::inChild(
        [this] {
            auto copy = Library::open(path("shared") / "copy.library");
            if (!copy) return 1;
            const auto sessions = copy->allSessions();
            return sessions && sessions->size() == 1 ? 0 : 2;
        },
        true);

    fs::permissions(path("shared"), fs::perms{0755});
    EXPECT_EQ(result, 0);
}

TEST_F(LibraryFile, AReadOnlyFolderCannotTakeANewLibrary) {
    fs::permissions(folder_, fs::perms{0555});

    const int result = tests::inChild(
        [this] {
            auto library = Library::open(path(), {.createIfAbsent = true});
            return !library && library.fault().code == FaultCode::LibraryReadOnly ? 0 : 1;
        },
        true);

    fs::permissions(folder_, fs::perms{0755});
    EXPECT_EQ(result, 0);
}

TEST_F(LibraryFile, AFileWithoutPermissionIsNotOpened) {
    store(tests::pairDraft("one", 1));
    fs::permissions(path(), fs::perms{0000});

    const int result = tests::inChild(
        [this] {
            auto library = Library::open(path());
            return !library && library.fault().code == FaultCode::LibraryNotOpened ? 0 : 1;
        },
        true);

    EXPECT_EQ(result, 0);
}

TEST_F(LibraryFile, AFileThatAnotherProgramLocksSaysSoAndChangesNothing) {
    store(tests::pairDraft("one", 1));
    auto library = Library::open(path(), {.patience = std::chrono::milliseconds{20}});
    ASSERT_TRUE(library);
    sqlite3* other = nullptr;
    ASSERT_EQ(sqlite3_open(path().c_str(), &other), SQLITE_OK);
    ASSERT_EQ(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr), SQLITE_OK);
    const auto draft = tests::pairDraft("two", 2);

    const auto added = library->addSessions(std::span{&draft, 1});

    ASSERT_FALSE(added);
    EXPECT_EQ(added.fault().code, FaultCode::LibraryLocked) << added.fault().message;
    sqlite3_close(other);
    EXPECT_EQ(library->allSessions()->size(), 1u);
    EXPECT_TRUE(library->addSessions(std::span{&draft, 1}));
}

// A limit on file sizes stands for a full disk: writes fail half-way, as they do there.
TEST_F(LibraryFile, AFullDiskKeepsWhatWasThere) {
    store(tests::pairDraft("one", 1));

    const int result = tests::inChild([this] {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{200'000, 200'000};
        auto library = Library::open(path());
        if (!library || ::setrlimit(RLIMIT_FSIZE, &limit) != 0) return 1;
        std::vector<library::SessionDraft> drafts;
        for (int i = 0; i < 40; ++i)
            drafts.push_back(tests::pairDraft("more " + std::to_string(i), 10 + i, 1000));
        const auto added = library->addSessions(drafts);
        if (added) return 2;
        if (added.fault().code != FaultCode::LibraryFull) return 3;
        const auto sessions = library->allSessions();
        return sessions && sessions->size() == 1 ? 0 : 4;
    });

    EXPECT_EQ(result, 0);
    auto library = opened();
    EXPECT_EQ(library.allSessions()->size(), 1u);
    EXPECT_TRUE(library.checkIntegrity());
}

TEST_F(LibraryFile, ALibraryThatCannotBeCreatedForWantOfRoomSaysSo) {
    const int result = tests::inChild([this] {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{8'000, 8'000};
        if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) return 1;
        auto library = Library::open(path(), {.createIfAbsent = true});
        if (library) return 2;
        return library.fault().code == FaultCode::LibraryFull ? 0 : 3;
    });

    EXPECT_EQ(result, 0);
    EXPECT_TRUE(opened().allSessions());
}

TEST_F(LibraryFile, NamesWithQuestionMarksAndPercentAreOnlyNames) {
    const auto odd = path("a?mode=memory#b%20c é.library");

    { ASSERT_TRUE(Library::open(odd, {.createIfAbsent = true})); }

    EXPECT_EQ(namesInFolder(), std::vector<std::string>{odd.filename().string()});
}
