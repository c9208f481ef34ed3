// Devices, versions and years against each other in the real window.
#include <gtest/gtest.h>

#include <QAbstractItemModelTester>
#include <QClipboard>
#include <QComboBox>
#include <QGuiApplication>
#include <QLabel>
#include <QMenu>
#include <QSignalSpy>
#include <QTableView>
#include <QTest>
#include <QTreeWidget>

#include "app/pages/compare/compare_bar.h"
#include "app/pages/compare/compare_page.h"
#include "app/pages/compare/kept_comparisons.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/windows/commands.h"
#include "app/windows/criteria_dialog.h"
#include "app/windows/editions_dialog.h"
#include "app/windows/library_commands.h"
#include "core/library/read_file.h"
#include "tests/app/window_fixture.h"

namespace beatwitness::tests {
namespace {

using namespace app;
using namespace library;
using library::Role;

/// The real window with three sessions of 400 s: the band reads 3, 4 and 5 bpm low, the watch always 1 bpm
/// high; the band runs firmware 1.0 in the first session, 2.0 after.
class CompareWindowTest : public WindowTest {
protected:
    WearingDraft worn(Role role, const std::string& device, int rate, int day) {
        QByteArray text = "time,hr\n";
        for (int i = 0; i < 400; ++i)
            text += QByteArray::number(1930380000 + day * 86400 + i) + ',' + QByteArray::number(rate) + '\n';
        const QString name = QString("%1-%2.csv").arg(QString::fromStdString(device)).arg(day);
        const auto read = readForLibrary(textFile(name, text).toStdString());
        EXPECT_TRUE(read);
        WearingFacts facts;
        if (device == "band") facts.firmware = day == 1 ? "1.0" : "2.0";
        return {role, device, facts, WearingOutcome::Recorded, "", {{*read, std::nullopt}}};
    }

    void openLibrary() {
        std::vector<SessionDraft> drafts;
        for (int day = 1; day <= 3; ++day) {
            SessionDraft draft{"session " + std::to_string(day), "hill walk", "A", "", {}};
            draft.wearings = {worn(Role::Reference, "strap", 120, day),
                              worn(Role::Test, "band", 118 - day, day), worn(Role::Test, "watch", 121, day)};
            drafts.push_back(std::move(draft));
        }
        window_->library().create(folder_.filePath("harbour.beatwitness"));
        ASSERT_TRUE(waitFor([&] { return window_->library().isOpen(); }));
        QSignalSpy imported(&window_->library(), &LibraryDocument::imported);
        window_->library().importSessions(drafts, "trial");
        ASSERT_TRUE(waitFor([&] { return imported.count() == 1 && window_->matrix().project(); }));
        window_->showPage(Page::Compare);
        ASSERT_TRUE(waitFor([&] { return answered(); }));
    }

    ComparePage& page() { return window_->comparePage(); }
    bool answered() { return page().answer().view() && !page().answer().isBusy(); }
    QAbstractItemModel& table() { return *page().findChild<QTableView*>("comparedTable")->model(); }
    QString number(int row, int column) { return table().index(row, column).data().toString(); }

    /// As a user: the entry of that text, and the page worked out anew.
    void choose(const char* box, const QString& text) {
        auto* combo = page().findChild<QComboBox*>(box);
        combo->setCurrentIndex(combo->findText(text));
        emit combo->activated(combo->currentIndex());
        ASSERT_TRUE(waitFor([&] { return answered(); }));
    }
};

// By hand: session errors 3, 4, 5 against 1, 1, 1: means 4 and 1, difference 3; t(0.975, 2) = 4.302653 times
// 1 / sqrt(3): 0.5159 to 5.4841. Three differences of one sign: p 2 / 8.
TEST_F(CompareWindowTest, TwoDevicesAreHeldAgainstEachOtherAtOnce) {
    openLibrary();

    ASSERT_EQ(table().rowCount(), 1);
    EXPECT_EQ(number(0, 2), "4.00");
    EXPECT_EQ(number(0, 3), "1.00");
    EXPECT_EQ(number(0, 4), "+3.00");
    EXPECT_EQ(number(0, 5), "+0.52 to +5.48");
    EXPECT_EQ(number(0, 7), "0.250");
    EXPECT_TRUE(
        page().findChild<QLabel*>("comparedWords")->text().startsWith("Watch errs 3.0 bpm less than band"));
}

TEST_F(CompareWindowTest, FirmwareVersionsAreTwoChoicesAway) {
    openLibrary();

    choose("comparedA", "band firmware 1.0");
    choose("comparedB", "band firmware 2.0");

    EXPECT_EQ(number(0, 1), "1 | 2") << "different sessions";
    EXPECT_EQ(number(0, 4), "\u22121.50") << "3 against the mean of 4 and 5";
    EXPECT_TRUE(page().findChild<QLabel*>("comparedWords")->text().contains("different sessions"));
}

TEST_F(CompareWindowTest, TheTableIsASoundModelWithDefinitions) {
    openLibrary();

    const QAbstractItemModelTester tester(&table(), QAbstractItemModelTester::FailureReportingMode::Fatal);
    window_->commands().copyNumbers->trigger();

    EXPECT_TRUE(QGuiApplication::clipboard()->text().contains("band \u2212 watch\t"));
    for (int column = 0; column < table().columnCount(); ++column)
        EXPECT_FALSE(table().headerData(column, Qt::Horizontal, Qt::ToolTipRole).toString().isEmpty());
}

TEST_F(CompareWindowTest, AComparisonIsKeptRenamedDeletedAndUndone) {
    openLibrary();

    ASSERT_TRUE(page().kept().keepAs("wrists"));
    ASSERT_TRUE(page().kept().renameTo("both wrists"));
    ASSERT_TRUE(page().kept().removeCurrent());
    EXPECT_TRUE(page().kept().all().empty());
    window_->commands().undo->trigger();
    window_->commands().undo->trigger();

    ASSERT_EQ(page().kept().all().size(), 1u);
    EXPECT_EQ(page().kept().all()[0].is.label, "wrists");
    window_->commands().undo->trigger();
    EXPECT_TRUE(page().kept().all().empty());
}

TEST_F(CompareWindowTest, AKeptComparisonComesBackWithItsChoices) {
    openLibrary();
    choose("comparedClock", "as recorded");
    ASSERT_TRUE(page().kept().keepAs("as it came"));
    choose("comparedClock", "aligned");
    ASSERT_FALSE(page().kept().current());

    emit page().kept().menu()->aboutToShow();
    page().kept().menu()->actions().front()->trigger();
    ASSERT_TRUE(waitFor([&] { return answered(); }));

    EXPECT_EQ(page().answer().ask().clock, evaluation::Clock::AsRecorded);
    EXPECT_TRUE(page().kept().current());
}

TEST_F(CompareWindowTest, EveryViewIsAFigure) {
    openLibrary();

    for (const auto view : {ComparePage::View::SideBySide, ComparePage::View::Numbers,
                            ComparePage::View::Standing, ComparePage::View::OverTime}) {
        page().showView(view);
        EXPECT_TRUE(window_->viewAsFigure());
    }
}

TEST_F(CompareWindowTest, BothSidesAreShownToStandUpOrNot) {
    openLibrary();

    page().showView(ComparePage::View::Standing);

    EXPECT_TRUE(waitFor([&] { return page().answer().standing().size() == 2; }));
}

TEST_F(CompareWindowTest, ACriterionIsSetReplacedAndUndone) {
    openLibrary();
    const auto project = *window_->matrix().project();
    CriteriaDialog dialog(window_->library(), project);
    dialog.setAttribute(Qt::WA_DeleteOnClose, false);
    dialog.enter({agreement::Metric::Mae, 5.0, agreement::Sense::AtMost, "band", {}, 0.9, {}});

    ASSERT_TRUE(dialog.setEntered());
    dialog.select(0);
    auto tighter = dialog.entered();
    tighter.limit = 3.0;
    dialog.enter(tighter);
    ASSERT_TRUE(dialog.replaceSelected());

    const auto& contents = *window_->library().contents();
    ASSERT_EQ(contents.criteria.size(), 2u);
    EXPECT_EQ(contents.criteriaOf(project).at(0).limit, 3.0);
    EXPECT_EQ(contents.criteriaOf(project).at(0).device, "band");
    window_->commands().undo->trigger();
    ASSERT_EQ(window_->library().contents()->criteriaOf(project).size(), 1u);
    EXPECT_EQ(window_->library().contents()->criteriaOf(project).at(0).limit, 5.0);
}

TEST_F(CompareWindowTest, TheListSaysThatDataWasThere) {
    openLibrary();
    CriteriaDialog dialog(window_->library(), *window_->matrix().project());
    dialog.setAttribute(Qt::WA_DeleteOnClose, false);

    ASSERT_TRUE(dialog.setEntered());

    ASSERT_TRUE(waitFor([&] { return dialog.card() && dialog.card()->requirements.size() == 1; }));
    EXPECT_EQ(dialog.findChild<QTreeWidget*>("criteriaList")->topLevelItem(0)->text(4), "yes");
    dialog.copyCard();
    EXPECT_TRUE(QGuiApplication::clipboard()->text().contains("after data was there"));
}

TEST_F(CompareWindowTest, AnEditionTellsWhatChangedSince) {
    openLibrary();
    EditionsDialog dialog(window_->library(), *window_->matrix().project(), {});
    dialog.setAttribute(Qt::WA_DeleteOnClose, false);
    QSignalSpy frozen(&dialog, &EditionsDialog::frozen), compared(&dialog, &EditionsDialog::compared);
    ASSERT_TRUE(waitFor([&] { return !dialog.isBusy(); }));
    dialog.freeze("first film");
    ASSERT_TRUE(waitFor([&] { return frozen.count() == 1; }));
    auto* list = dialog.findChild<QTreeWidget*>("editionsList");
    ASSERT_TRUE(waitFor([&] { return list->topLevelItemCount() == 1 && !dialog.isBusy(); }));

    dialog.openEdition(0);

    ASSERT_TRUE(waitFor([&] { return compared.count() == 1; }));
    EXPECT_TRUE(dialog.findChild<QLabel*>("editionBecause")->text().contains("nothing changed"));
    EXPECT_EQ(dialog.findChild<QTreeWidget*>("editionChanges")->topLevelItemCount(), 0);
}

}  // namespace
}  // namespace beatwitness::tests
