#include <gtest/gtest.h>

#include <QDir>
#include <QTemporaryDir>
#include <QUrl>

#include "app/windows/folder_files.h"
#include "app/windows/role_dialog.h"
#include "tests/app/window_fixture.h"
#include "widgets/inputs/message_banner.h"

namespace beatwitness::tests {
namespace {

QString fileIn(const QTemporaryDir& folder, const QString& name) {
    QFile file(folder.filePath(name));
    EXPECT_TRUE(file.open(QIODevice::WriteOnly));
    return file.fileName();
}

TEST(FilesIn, TakesTheRecordingsOfAFolderByNameAndLooksNoDeeper) {
    const QTemporaryDir folder;
    for (const auto* name : {"b.csv", "A.FIT", "c.gpx", "notes.md", "z.png"})
        fileIn(folder, name);
    ASSERT_TRUE(QDir(folder.path()).mkdir("deeper.csv"));

    const auto files = app::filesIn({folder.path()});

    EXPECT_EQ(files.paths,
              (QStringList{folder.filePath("A.FIT"), folder.filePath("b.csv"), folder.filePath("c.gpx")}));
    EXPECT_EQ(files.fromFolder, (std::vector<bool>{true, true, true}));
}

TEST(FilesBelow, TakesTheRecordingsOfAllFoldersOnceEach) {
    const QTemporaryDir folder;
    ASSERT_TRUE(QDir(folder.path()).mkpath("march/week 1"));
    for (const auto* name : {"a.csv", "march/b.fit", "march/week 1/c.jsonl", "march/notes.md"})
        fileIn(folder, name);

    const auto files = app::filesBelow({folder.path(), folder.filePath("a.csv")});

    EXPECT_EQ(files, (QStringList{folder.filePath("a.csv"), folder.filePath("march/b.fit"),
                                  folder.filePath("march/week 1/c.jsonl")}));
}

TEST(PathsIn, TakesPathsAndFileAddressesThatAreThere) {
    const QTemporaryDir folder;
    const auto plain = fileIn(folder, "a b.csv"), other = fileIn(folder, "c.csv");

    const auto paths =
        app::pathsIn(plain + "\n" + QUrl::fromLocalFile(other).toString() + "\n/nowhere/x.csv\n");

    EXPECT_EQ(paths, (QStringList{plain, other}));
}

TEST(FilesIn, TakesAtMostFiftyOfAFolderAndCountsTheRest) {
    const QTemporaryDir folder;
    for (int i = 0; i < 53; ++i)
        fileIn(folder, QStringLiteral("%1.csv").arg(i, 2, 10, QLatin1Char('0')));

    const auto files = app::filesIn({folder.path()});

    EXPECT_EQ(files.paths.size(), 50);
    EXPECT_EQ(files.paths.back(), folder.filePath("49.csv"));
    EXPECT_EQ(files.beyond, 3);
}

TEST(FilesIn, LeavesNamedFilesAsTheyAreNamed) {
    const auto files = app::filesIn({"nowhere/photo.png"});

    EXPECT_EQ(files.paths, QStringList{"nowhere/photo.png"});
    EXPECT_EQ(files.fromFolder, std::vector<bool>{false});
}

TEST_F(WindowTest, ADroppedFolderAsksWhatIsComparedWithWhat) {
    recordingFile("strap.csv", 400, [](int) { return 120.0; });
    recordingFile("band.csv", 400, [](int) { return 117.0; });
    recordingFile("watch.csv", 400, [](int) { return 118.0; });
    textFile("letter.txt", "Dear Sir,\nthis is no recording.\n");

    drop({folder_.path()});

    ASSERT_TRUE(waitFor([&] { return window_->findChild<app::RoleDialog*>() != nullptr; }));
    EXPECT_EQ(window_->findChild<app::RoleDialog*>()->plan().tests.size(), 2U);
    EXPECT_TRUE(window_->banner().text().contains("One file could not be read"));
}

TEST_F(WindowTest, AFolderWithoutRecordingsIsRefusedInASentence) {
    QTemporaryDir empty;

    drop({empty.path()});

    EXPECT_EQ(window_->banner().headline(), "No recording in the folder");
    EXPECT_FALSE(window_->document().hasSession());
}

}  // namespace
}  // namespace beatwitness::tests
