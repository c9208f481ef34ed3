#include "app/pages/figures/figures_page.h"

#include <gtest/gtest.h>

#include <QAbstractItemModelTester>
#include <QDir>
#include <QListView>
#include <QSignalSpy>
#include <QTest>

#include "app/pages/figures/figure_actions.h"
#include "app/pages/figures/figure_list.h"
#include "app/pages/figures/figure_rows.h"
#include "app/pages/figures/figure_words.h"
#include "app/pages/matrix/matrix_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "core/library/read_file.h"
#include "tests/app/window_fixture.h"
#include "widgets/figures/figure_preview.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::tests {
namespace {

using namespace app;
using namespace library;
using library::Role;
using report::FigureKind;

/// The real window with a library of one session of 400 s: strap 120, band 117, watch 121 bpm.
class FiguresPageTest : public WindowTest {
protected:
    WearingDraft worn(Role role, const std::string& device, int rate) {
        QByteArray text = "time,hr\n";
        for (int i = 0; i < 400; ++i)
            text += QByteArray::number(1930380000 + i) + ',' + QByteArray::number(rate) + '\n';
        const auto read =
            readForLibrary(textFile(QString::fromStdString(device) + ".csv", text).toStdString());
        EXPECT_TRUE(read);
        return {role, device, {}, WearingOutcome::Recorded, "", {{*read, std::nullopt}}};
    }

    void openLibrary() {
        SessionDraft draft{"pyramid", "rowing ergometer", "A", "", {}};
        draft.wearings = {worn(Role::Reference, "strap", 120), worn(Role::Test, "band", 117),
                          worn(Role::Test, "watch", 121)};
        library().create(folder_.filePath("harbour.beatwitness"));
        ASSERT_TRUE(waitFor([&] { return library().isOpen(); }));
        QSignalSpy imported(&library(), &LibraryDocument::imported);
        library().importSessions({draft}, "band trial");
        ASSERT_TRUE(waitFor([&] { return imported.count() == 1; }));
        window_->showPage(Page::Figures);
        ASSERT_TRUE(waitFor([&] { return page().isVisible() && page().project(); }));
    }

    void openSession() {
        window_->storedSession().open(library().contents()->sessions.front()->id);
        ASSERT_TRUE(waitFor([&] { return window_->document().isStored(); }));
    }

    LibraryDocument& library() { return window_->library(); }
    FiguresPage& page() { return window_->figuresPage(); }
    FigureActions& actions() { return page().actions(); }
    QStringList names() {
        QStringList list;
        for (int i = 0; i < page().model().rowCount(); ++i)
            list << page().model().index(i).data().toString();
        return list;
    }
    const FigureParticulars& current() { return *library().contents()->figure(*page().current()); }
    const MadePicture* made() { return page().current() ? page().maker().of(*page().current()) : nullptr; }
    bool waitMade() {
        return waitFor([&] { return made() && !page().maker().isBusy(); });
    }
    QString titleMade() { return QString::fromStdString(made()->figure->scene.title); }
    void edit(const std::function<void(FigureParticulars&)>& change) {
        auto is = current();
        change(is);
        library().edit("edit", {RowOf<FigureId, FigureParticulars>{*page().current(), is}});
    }
};

TEST_F(FiguresPageTest, ANewFigureIsDrawnAndUndone) {
    openLibrary();

    emit page().commands().newAsked(FigureKind::Overlay);
    ASSERT_TRUE(waitMade());

    EXPECT_EQ(titleMade(), "pyramid · rowing ergometer");
    ASSERT_TRUE(waitFor([&] { return !page().preview().picture().isNull(); }));
    window_->commands().undo->trigger();
    EXPECT_EQ(names(), QStringList{});
    window_->commands().redo->trigger();
    EXPECT_EQ(names(), QStringList{"Session overlay"});
}

TEST_F(FiguresPageTest, ANewFigureOfAnyKindCanBeDrawnAsItIsOffered) {
    openLibrary();
    for (const auto kind : report::allFigureKinds) {
        actions().add(kind);
        ASSERT_TRUE(waitMade());

        EXPECT_NE(made()->figure, nullptr)
            << report::figureKindName(kind) << (made()->fault ? sentence(*made()->fault) : "");
    }
}

TEST_F(FiguresPageTest, AFigureThatCannotBeMadeSaysWhyInItsPlace) {
    openLibrary();
    actions().add(FigureKind::Map);

    edit([](FigureParticulars& is) { is.content.devices.clear(); });
    ASSERT_TRUE(waitMade());

    EXPECT_TRUE(page().preview().accessibleDescription().contains("expected one of band and watch"));
}

TEST_F(FiguresPageTest, FiguresMoveAndTheOrderIsUndone) {
    openLibrary();
    for (const auto kind : {FigureKind::Overlay, FigureKind::Map, FigureKind::Card})
        actions().add(kind);

    actions().move(-1);
    EXPECT_EQ(names(), (QStringList{"Session overlay", "Summary card", "Agreement map"}));
    actions().move(-1);

    EXPECT_EQ(names(), (QStringList{"Summary card", "Session overlay", "Agreement map"}));
    EXPECT_EQ(current().name, "Summary card");
    window_->commands().undo->trigger();
    window_->commands().undo->trigger();
    EXPECT_EQ(names(), (QStringList{"Session overlay", "Agreement map", "Summary card"}));
}

TEST_F(FiguresPageTest, ACopyHoldsEverythingButTheName) {
    openLibrary();
    actions().add(FigureKind::Map);
    edit([](FigureParticulars& is) {
        is.look = {true, false, true, "85mm", 600};
        is.texts.title = "Told otherwise";
    });
    const auto original = current();

    actions().duplicate();

    EXPECT_EQ(current().name, "Agreement map (copy)");
    EXPECT_EQ(current().look, original.look);
    EXPECT_EQ(current().texts, original.texts);
    EXPECT_EQ(current().content, original.content);
}

TEST_F(FiguresPageTest, DeletingGoesToTheNeighbourAndIsUndone) {
    openLibrary();
    for (const auto kind : {FigureKind::Overlay, FigureKind::Map, FigureKind::Card})
        actions().add(kind);
    page().list().setCurrentIndex(page().model().index(1));

    page().commands().remove->trigger();

    EXPECT_EQ(names(), (QStringList{"Session overlay", "Summary card"}));
    EXPECT_EQ(current().name, "Summary card");
    window_->commands().undo->trigger();
    EXPECT_EQ(names().size(), 3);
}

TEST_F(FiguresPageTest, AFigureIsMadeAgainAfterNewData) {
    openLibrary();
    actions().add(FigureKind::Overlay);
    ASSERT_TRUE(waitMade());
    auto session = *library().particulars(library().contents()->sessions.front()->id);
    session.name = "ladder";

    library().edit("rename", {RowOf<SessionId, SessionParticulars>{library().contents()->sessions.front()->id,
                                                                   session}});

    EXPECT_TRUE(waitFor([&] { return titleMade() == "ladder · rowing ergometer"; }));
}

TEST_F(FiguresPageTest, ARenamedDeviceIsStillTheFiguresDevice) {
    openLibrary();
    actions().add(FigureKind::Map);
    auto device = *library().particulars(current().content.devices.front());
    device.label = "bracelet";

    library().edit("rename", {RowOf<DeviceId, DeviceParticulars>{current().content.devices.front(), device}});

    EXPECT_TRUE(waitFor([&] { return waitMade() && made()->figure && titleMade().startsWith("Bracelet"); }));
}

TEST_F(FiguresPageTest, AnEditOfTheLookChangesThePicture) {
    openLibrary();
    actions().add(FigureKind::Overlay);
    ASSERT_TRUE(waitFor([&] { return !page().preview().picture().isNull(); }));
    const QColor light = page().preview().picture().pixelColor(1, 1);

    edit([](FigureParticulars& is) { is.look.dark = true; });

    EXPECT_TRUE(waitFor([&] { return page().preview().picture().pixelColor(1, 1).lightness() < 60; }));
    EXPECT_GT(light.lightness(), 200);
}

TEST_F(FiguresPageTest, TheSessionPageAddsWhatItShows) {
    openLibrary();
    openSession();
    window_->showPage(Page::Session);
    window_->sessionPage().timeline().setRange(100, 220);

    page().commands().addFromView->trigger();

    ASSERT_EQ(names(), QStringList{"Session overlay: pyramid"});
    EXPECT_NEAR(*current().content.begin_s, 100, 0.01);
    EXPECT_NEAR(*current().content.end_s, 220, 0.01);
    EXPECT_EQ(window_->page(), Page::Session);
    EXPECT_TRUE(window_->banner().isVisible());
}

TEST_F(FiguresPageTest, AViewWithoutALibraryOffersNoFigure) {
    openFlatPair();

    EXPECT_FALSE(page().commands().addFromView->isEnabled());
    EXPECT_FALSE(window_->viewAsFigure());
}

TEST_F(FiguresPageTest, ExportsEveryFigureIntoAFileOfItsName) {
    openLibrary();
    actions().add(FigureKind::Card);
    actions().add(FigureKind::Card);
    edit([](FigureParticulars& is) { is.look.size = "640x360"; });
    const QTemporaryDir target;
    QSignalSpy told(&actions(), &FigureActions::told);

    actions().exportAllTo(target.path(), {"png", "svg"});
    ASSERT_TRUE(waitFor([&] { return told.count() == 1; }));

    EXPECT_EQ(
        QDir(target.path()).entryList(QDir::Files, QDir::Name),
        (QStringList{"summary-card-2.png", "summary-card-2.svg", "summary-card.png", "summary-card.svg"}));
    EXPECT_EQ(QImage(target.filePath("summary-card-2.png")).size(), QSize(640, 360));
}

TEST_F(FiguresPageTest, ExportsNothingWhereOneFigureCannotBeMade) {
    openLibrary();
    actions().add(FigureKind::Card);
    actions().add(FigureKind::Map);
    edit([](FigureParticulars& is) { is.content.devices.clear(); });
    const QTemporaryDir target;
    QSignalSpy refused(&actions(), &FigureActions::refused);

    actions().exportAllTo(target.path(), {"png"});
    ASSERT_TRUE(waitFor([&] { return refused.count() == 1; }));

    EXPECT_EQ(QDir(target.path()).entryList(QDir::Files), QStringList{});
    EXPECT_TRUE(refused.front().at(1).toString().contains("Agreement map"));
}

TEST_F(FiguresPageTest, TheModelKeepsTheRulesOfItsKind) {
    openLibrary();
    QAbstractItemModelTester tester(&page().model(), QAbstractItemModelTester::FailureReportingMode::Fatal);

    actions().add(FigureKind::Card);
    actions().duplicate();
    page().model().setData(page().model().index(0), "first");
    page().commands().remove->trigger();

    EXPECT_EQ(names(), QStringList{"first"});
}

TEST_F(FiguresPageTest, WithoutALibraryThePageCannotBeOpened) {
    openFlatPair();

    EXPECT_FALSE(page().commands().showPage->isEnabled());
    EXPECT_EQ(window_->page(), Page::Session);
}

TEST(FigureWords, ReadSessionTimesAsTheyAreWritten) {
    EXPECT_EQ(sessionTimeOf("12:30"), 750.0);
    EXPECT_EQ(sessionTimeOf("1:02:03"), 3723.0);
    EXPECT_EQ(sessionTimeOf("90"), 90.0);
    EXPECT_FALSE(sessionTimeOf("12:75"));
    EXPECT_FALSE(sessionTimeOf("soon"));
}

TEST(FigureRows, NameFilesSoThatAnySystemTakesThem) {
    EXPECT_EQ(fileNameOf("5 × 4 min: band/strap"), "5-4-min-band-strap");
    EXPECT_EQ(fileNameOf("../..///"), "figure");
}

}  // namespace
}  // namespace beatwitness::tests
