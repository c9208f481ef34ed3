#include "app/pages/agreement/agreement_page.h"

#include <gtest/gtest.h>

#include <QComboBox>
#include <QLabel>
#include <QSignalSpy>
#include <QStackedWidget>
#include <QTableView>
#include <QTest>

#include "app/document/selection.h"
#include "app/pages/agreement/group_table.h"
#include "core/library/read_file.h"
#include "tests/app/window_fixture.h"
#include "widgets/figures/scene_view.h"
#include "widgets/inputs/check_menu.h"
#include "widgets/models/group_table_model.h"
#include "widgets/plots/agreement_map_view.h"

namespace beatwitness::tests {
namespace {

using namespace app;
using namespace library;
using library::Role;
using report::AgreementPart;

/// The real window with a library of three sessions of 400 s; strap 120, 130 and 140 bpm, band 3 bpm low,
/// watch 1 bpm high (in the first two).
class AgreementPageTest : public WindowTest {
protected:
    WearingDraft worn(Role role, const std::string& device, int session, int rate) {
        QByteArray text = "time,hr\n";
        for (int i = 0; i < 400; ++i)
            text +=
                QByteArray::number(1930380000 + 86400 * session + i) + ',' + QByteArray::number(rate) + '\n';
        const auto name = QString::fromStdString(device) + QString::number(session) + ".csv";
        const auto read = readForLibrary(textFile(name, text).toStdString());
        EXPECT_TRUE(read);
        return {role, device, {}, WearingOutcome::Recorded, "", {{*read, std::nullopt}}};
    }

    void openLibrary() {
        std::vector<SessionDraft> drafts;
        for (int session = 0; session < 3; ++session) {
            SessionDraft draft{
                "walk " + std::to_string(session), session == 0 ? "rest" : "hill walk", "A", "", {}};
            const int rate = 120 + 10 * session;
            draft.wearings = {worn(Role::Reference, "strap", session, rate),
                              worn(Role::Test, "band", session, rate - 3)};
            if (session < 2) draft.wearings.push_back(worn(Role::Test, "watch", session, rate + 1));
            drafts.push_back(draft);
        }
        window_->library().create(folder_.filePath("harbour.beatwitness"));
        ASSERT_TRUE(waitFor([&] { return window_->library().isOpen(); }));
        QSignalSpy imported(&window_->library(), &LibraryDocument::imported);
        window_->library().importSessions(drafts, "band trial");
        ASSERT_TRUE(waitFor([&] { return imported.count() == 1; }));
        window_->showPage(Page::Agreement);
        page().showProject(true);
        ASSERT_TRUE(waitFor([&] { return isAnswered() && answer().view()->sessions == 3; }));
    }

    AgreementPage& page() { return window_->agreementPage(); }
    ProjectAnswer& answer() { return window_->projectAnswer(); }
    bool isAnswered() { return answer().view() && !answer().isBusy(); }
    void choose(const char* name, const QString& text) {
        auto* box = window_->findChild<QComboBox*>(name);
        box->setCurrentText(text);
        emit box->activated(box->currentIndex());
        ASSERT_TRUE(waitFor([&] { return isAnswered(); }));
    }
    void showPart(AgreementPart part) {
        page().showPart(part);
        ASSERT_TRUE(waitFor([&] { return isAnswered() && answer().view()->ask.part == part; }));
    }
    QString tableCell(const QString& column, int row) {
        auto& model = window_->findChild<GroupTable*>("groupTable")->groups();
        for (int i = 0; i < model.columnCount(); ++i)
            if (model.headerData(i, Qt::Horizontal, Qt::DisplayRole).toString() == column)
                return model.index(row, i).data().toString();
        return {};
    }
};

TEST_F(AgreementPageTest, PoolsTheSessionsOfTheProject) {
    openLibrary();

    const auto& devices = answer().view()->devices;

    ASSERT_EQ(devices.size(), 2U);
    EXPECT_DOUBLE_EQ(*devices[0].timeWeighted.bias.value, -3);
    EXPECT_DOUBLE_EQ(*devices[1].timeWeighted.bias.value, 1);
}

TEST_F(AgreementPageTest, OneDeviceIsTwoClicksAway) {
    openLibrary();

    choose("scopeDevice", "watch");

    ASSERT_EQ(answer().view()->devices.size(), 1U);
    EXPECT_EQ(answer().view()->sessions, 2U);
    EXPECT_TRUE(window_->findChild<widgets::AgreementMapView*>("agreementMap")->isVisible());
}

TEST_F(AgreementPageTest, ActivitiesNarrowTheScope) {
    openLibrary();
    auto* activities = window_->findChild<widgets::CheckMenu*>("scopeActivity");

    activities->setChecked({1});  // "hill walk", "rest"
    emit activities->chosen();
    ASSERT_TRUE(waitFor([&] { return isAnswered(); }));

    EXPECT_EQ(answer().view()->sessions, 1U);
}

TEST_F(AgreementPageTest, EveryViewShowsSomething) {
    openLibrary();

    for (const auto part : {AgreementPart::Map, AgreementPart::Difference, AgreementPart::Distribution,
                            AgreementPart::Ranges, AgreementPart::SmallMaps, AgreementPart::Attribution}) {
        showPart(part);
        EXPECT_TRUE(window_->findChild<widgets::SceneView*>("agreementScene")->isVisible())
            << static_cast<int>(part);
    }
}

TEST_F(AgreementPageTest, TheTableBreaksDownAndIsCopied) {
    openLibrary();
    showPart(AgreementPart::Table);
    auto* by = window_->findChild<widgets::CheckMenu*>("scopeBy");

    by->setChecked({1});  // by session
    emit by->chosen();
    ASSERT_TRUE(waitFor([&] { return isAnswered(); }));

    EXPECT_EQ(window_->findChild<GroupTable*>("groupTable")->groups().rowCount(), 5);
    EXPECT_EQ(tableCell("bias, bpm", 0), QString::fromUtf8("−3.00"));
    EXPECT_EQ(page().numbersAsText(false).count('\n'), 6);
}

TEST_F(AgreementPageTest, WhatASelectedNumberMeansStandsBesideIt) {
    openLibrary();
    showPart(AgreementPart::Table);
    auto* table = window_->findChild<GroupTable*>("groupTable");

    table->setCurrentIndex(table->model()->index(0, 11));

    EXPECT_TRUE(window_->findChild<QLabel*>("meaning")->text().contains("Formula: "));
}

TEST_F(AgreementPageTest, LimitsSayWhichTheyAreAndWhy) {
    openLibrary();

    const auto words = window_->findChild<QLabel*>("limitWords")->text();

    EXPECT_TRUE(words.contains("Shown: ")) << words.toStdString();
}

TEST_F(AgreementPageTest, VeryFewSessionsAreSaidToBeFew) {
    openLibrary();

    EXPECT_TRUE(window_->findChild<QLabel*>("pooledWords")->text().contains("very few sessions"));
}

TEST_F(AgreementPageTest, ACellCountsSessionsWhereAsked) {
    openLibrary();
    choose("scopeDevice", "band");
    auto* map = window_->findChild<widgets::AgreementMapView*>("agreementMap");

    map->setCountsSessions(true);
    QTest::keyClick(map, Qt::Key_Right);

    EXPECT_TRUE(map->readout().endsWith("1 of 3 sessions")) << map->readout().toStdString();
}

TEST_F(AgreementPageTest, EnterShowsASelectedAreaInTheSessionWithMostOfIt) {
    openLibrary();
    choose("scopeDevice", "band");
    auto* map = window_->findChild<widgets::AgreementMapView*>("agreementMap");

    emit map->boxSelected(agreement::RateBox{129.5, 150.5, 100.5, 129.5});
    QTest::keyClick(map, Qt::Key_Return);

    ASSERT_TRUE(waitFor([&] { return window_->document().selection().box().has_value(); }));
    EXPECT_EQ(window_->storedSession().row()->name, "walk 1");
    EXPECT_EQ(window_->page(), Page::Session);
}

TEST_F(AgreementPageTest, ASessionThatLeavesTheLibraryLeavesTheNumbers) {
    openLibrary();
    auto& library = window_->library();
    auto row = *library.particulars(library.contents()->sessions.back()->id);
    row.deleted = true;

    library.edit("deletion",
                 {RowOf<SessionId, SessionParticulars>{library.contents()->sessions.back()->id, row}});
    ASSERT_TRUE(waitFor([&] { return isAnswered() && answer().view()->sessions == 2; }));

    EXPECT_EQ(answer().view()->devices.front().sessions, 2U);
}

TEST_F(AgreementPageTest, AnotherEpochPoolsWithoutReadingAgain) {
    openLibrary();

    choose("scopeEpoch", "60 s epochs");

    EXPECT_DOUBLE_EQ(answer().view()->devices.front().pairs, 21);  // 400 s: six whole epochs and one of 40 s
}

TEST_F(AgreementPageTest, TheViewOfAProjectIsAFigureOfIt) {
    openLibrary();
    choose("scopeDevice", "band");

    const auto figure = page().figure();

    ASSERT_TRUE(figure);
    EXPECT_EQ(figure->kind, report::FigureKind::Map);
    EXPECT_EQ(figure->devices, std::vector<std::string>{"band"});
}

TEST_F(AgreementPageTest, ALoosePairHasEveryViewToo) {
    openFlatPair();
    window_->showPage(Page::Agreement);

    showPart(AgreementPart::Distribution);

    EXPECT_TRUE(window_->findChild<widgets::SceneView*>("agreementScene")->isVisible());
    EXPECT_DOUBLE_EQ(*answer().view()->devices.front().timeWeighted.bias.value, -3);
}

}  // namespace
}  // namespace beatwitness::tests
