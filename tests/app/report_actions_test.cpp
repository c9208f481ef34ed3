#include <gtest/gtest.h>

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QSignalSpy>
#include <QTest>
#include <cmath>
#include <sstream>

#include "app/document/library_document.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/verbs/command_line.h"
#include "app/windows/report_actions.h"
#include "tests/app/window_fixture.h"
#include "widgets/inputs/message_banner.h"

namespace beatwitness::tests {
namespace {

using namespace app;

/// The real window with a library of one session of 900 s.
class ReportActionsTest : public WindowTest {
protected:
    void openLibrary() {
        const auto effort = [](int late) {
            return [late](int second) { return 110 + 30 * std::sin((second - late) / 60.0); };
        };
        const auto strap = recordingFile("strap.csv", 900, effort(0));
        const auto band = recordingFile("band.csv", 900, effort(4));
        const auto path = folder_.filePath("harbour.beatwitness");
        std::ostringstream out, err;
        const std::vector<std::string> words{"add",
                                             "--library",
                                             path.toStdString(),
                                             "--session",
                                             "north ridge",
                                             "--activity",
                                             "hill walk",
                                             "--project",
                                             "Harbour Crew",
                                             "--reference",
                                             "strap=" + strap.toStdString(),
                                             "--test",
                                             "band=" + band.toStdString()};
        ASSERT_EQ(static_cast<int>(verbs::runCommandLine(words, {out, err})), 0) << err.str();
        window_->library().open(path);
        ASSERT_TRUE(waitFor([&] { return window_->library().isOpen() && window_->matrix().project(); }));
    }

    [[nodiscard]] ReportActions& reports() { return window_->reports(); }
    [[nodiscard]] QString out() const { return folder_.filePath("out"); }
    bool isDone() {
        return waitFor([&] { return !reports().runner().busy(); });
    }
};

}  // namespace

TEST_F(ReportActionsTest, WaitForALibraryWithAProject) {
    const bool before = reports().writeUp->isEnabled();
    openLibrary();

    EXPECT_FALSE(before);
    EXPECT_TRUE(reports().writeUp->isEnabled());
}

TEST_F(ReportActionsTest, WriteTheProjectUp) {
    openLibrary();

    reports().writeInto(out());

    ASSERT_TRUE(isDone());
    EXPECT_TRUE(QFileInfo::exists(out() + "/write-up.html")) << window_->banner().text().toStdString();
    EXPECT_TRUE(QFileInfo::exists(out() + "/write-up.md"));
    EXPECT_TRUE(QFileInfo::exists(out() + "/figures/intervals.svg"));
    EXPECT_TRUE(reports().openWriteUp->isEnabled());
}

TEST_F(ReportActionsTest, WriteADocumentWithEveryPictureInside) {
    openLibrary();

    reports().writeInto(out());

    ASSERT_TRUE(isDone());
    QFile file(out() + "/write-up.html");
    ASSERT_TRUE(file.open(QIODevice::ReadOnly));
    const auto html = file.readAll();
    EXPECT_EQ(html.count("<figure>"), html.count("src=\"data:image/svg+xml;base64,"));
    EXPECT_EQ(html.count("<figure>"), QDir(out() + "/figures").entryList({"*.svg"}).size());
}

TEST_F(ReportActionsTest, WriteNoDocumentWhereStopped) {
    openLibrary();

    reports().writeInto(out());
    reports().runner().cancel();

    ASSERT_TRUE(isDone());
    QTest::qWait(300);
    EXPECT_FALSE(QFileInfo::exists(out() + "/write-up.html"));
    EXPECT_TRUE(reports().writeUp->isEnabled());
}

TEST_F(ReportActionsTest, ShareWhatTheMenuNames) {
    openLibrary();

    for (const auto kind : report::allShareKinds) {
        const auto path = out() + QString::fromLatin1(report::shareKindName(kind).data());
        reports().shareAs(kind, path);
        ASSERT_TRUE(isDone());
        EXPECT_TRUE(QFileInfo::exists(path)) << report::shareKindName(kind);
        EXPECT_EQ(QFileInfo(path).isFile(), report::isOneFile(kind)) << report::shareKindName(kind);
    }
}

TEST_F(ReportActionsTest, SayWhyNothingCouldBeWritten) {
    openLibrary();
    QFile file(out());
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));

    reports().writeInto(out());

    ASSERT_TRUE(isDone());
    EXPECT_TRUE(window_->banner().text().contains("could not be written"))
        << window_->banner().text().toStdString();
}

}  // namespace beatwitness::tests
