// The review: playing, phases, pins, selections and their numbers, on the real window.
#include <QApplication>
#include <QClipboard>
#include <QDateTime>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QMenu>
#include <QMouseEvent>
#include <QTest>

#include "app/document/annotations.h"
#include "app/document/selection.h"
#include "app/pages/filter_bar.h"
#include "app/pages/phases_panel.h"
#include "app/pages/pins_panel.h"
#include "app/pages/player.h"
#include "app/pages/session_page.h"
#include "app/windows/commands.h"
#include "app/windows/timeline_commands.h"
#include "tests/app/window_fixture.h"
#include "widgets/inputs/message_banner.h"
#include "widgets/plots/agreement_map_canvas.h"
#include "widgets/plots/agreement_map_view.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::tests {
namespace {

class Review : public WindowTest {
protected:
    /// 400 s: reference 100 for 200 s, then 160; the band reads 4 low, then about half.
    void SetUp() override {
        drop({recordingFile("strap.csv", 400, [](int s) { return s < 200 ? 100.0 : 160.0; }),
              recordingFile("band.csv", 400, [](int s) { return s < 200 ? 96.0 : 84.0; })});
        ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
        QApplication::processEvents();
        window_->activateWindow();
        ASSERT_TRUE(QTest::qWaitForWindowActive(window_.get()));
        timeline().setFocus();
    }

    widgets::TimelineView& timeline() { return window_->sessionPage().timeline(); }
    app::Annotations& annotations() { return window_->document().annotations(); }
    app::Selection& selection() { return window_->document().selection(); }
    widgets::TimelineCanvas* canvas() { return timeline().findChild<widgets::TimelineCanvas*>(); }
    void trigger(const char* name) {
        auto* action = window_->timelineCommands().action(name);
        ASSERT_NE(action, nullptr) << name;
        action->trigger();
    }
    QPoint at(double seconds, double y) {
        const QRectF rect = canvas()->overlayRect();
        const auto [begin, end] = timeline().range();
        return {qRound(rect.left() + (seconds - begin) / (end - begin) * rect.width()), qRound(y)};
    }
    QPoint inOverlay(double seconds) { return at(seconds, canvas()->overlayRect().center().y()); }
    QPoint inPhases(double seconds) { return at(seconds, canvas()->phasesRect().top() + 5); }
    void drag(QPoint from, QPoint to, Qt::KeyboardModifiers keys = Qt::NoModifier, bool letGo = true) {
        QTest::mousePress(&timeline(), Qt::LeftButton, keys, from);
        for (const QPoint& point : {(from + to) / 2, to}) {
            QMouseEvent move(QEvent::MouseMove, point, timeline().mapToGlobal(point), Qt::NoButton,
                             Qt::LeftButton, keys);
            QApplication::sendEvent(&timeline(), &move);
        }
        if (letGo) QTest::mouseRelease(&timeline(), Qt::LeftButton, keys, to);
    }
    /// begin and end of the phases, in session seconds
    std::vector<std::pair<double, double>> spans() {
        std::vector<std::pair<double, double>> found;
        for (const auto& phase : annotations().phases())
            found.emplace_back(annotations().secondsAt(phase.span.begin),
                               annotations().secondsAt(phase.span.end));
        return found;
    }
    void makePhase(double begin, double end, const char* key = "phase2") {
        selection().setRange(std::pair{begin, end});
        trigger(key);
    }
    QString filterText() { return window_->findChild<app::FilterBar*>()->text(); }
    QString readout(const QString& name) {
        for (auto* label : window_->findChildren<QLabel*>())
            if (label->accessibleName() == name) return label->text();
        return {};
    }
};

using Spans = std::vector<std::pair<double, double>>;

TEST_F(Review, SpacePlaysAtTheChosenSpeedAndPauses) {
    timeline().setCursor(10.0);
    auto& player = window_->sessionPage().player();
    player.setSpeed(60);

    QTest::keyClick(&timeline(), Qt::Key_Space);
    const bool playing = player.isPlaying();
    player.advance(1.0);
    QTest::keyClick(&timeline(), Qt::Key_Space);

    EXPECT_TRUE(playing);
    EXPECT_FALSE(player.isPlaying());
    // A frame or two of real time may have passed.
    EXPECT_GE(*timeline().cursor(), 70.0);
    EXPECT_LT(*timeline().cursor(), 100.0);
}

TEST_F(Review, PlayingEndsAtTheEnd) {
    timeline().setCursor(390.0);
    window_->sessionPage().player().setPlaying(true);

    window_->sessionPage().player().advance(100.0);

    EXPECT_EQ(timeline().cursor(), 399.0);
    EXPECT_FALSE(window_->sessionPage().player().isPlaying());
}

TEST_F(Review, PlayingKeepsTheCursorInSight) {
    timeline().setRange(0, 60);
    timeline().setCursor(50.0);
    window_->sessionPage().player().setPlaying(true);

    window_->sessionPage().player().advance(10.0);

    EXPECT_LE(timeline().range().first, *timeline().cursor());
    EXPECT_GE(timeline().range().second, *timeline().cursor());
}

TEST_F(Review, ADragInTheLaneMakesAPhase) {
    drag(inPhases(50), inPhases(120), Qt::AltModifier);

    ASSERT_EQ(annotations().phases().size(), 1u);
    EXPECT_NEAR(spans()[0].first, 50, 1);
    EXPECT_NEAR(spans()[0].second, 120, 1);
}

TEST_F(Review, UndoTakesAPhaseAwayAndRedoBringsItBack) {
    makePhase(50, 120);

    window_->commands().undo->trigger();
    const auto without = annotations().phases().size();
    window_->commands().redo->trigger();

    EXPECT_EQ(without, 0u);
    EXPECT_EQ(spans(), (Spans{{50, 120}}));
}

TEST_F(Review, EscapeTakesADragBack) {
    drag(inPhases(50), inPhases(120), Qt::NoModifier, false);
    QTest::keyClick(&timeline(), Qt::Key_Escape);
    QTest::mouseRelease(&timeline(), Qt::LeftButton, {}, inPhases(120));

    EXPECT_TRUE(annotations().phases().empty());
}

TEST_F(Review, AnEdgeSnapsToTheCursorUnlessAltIsHeld) {
    timeline().setCursor(100.0);
    const QPoint near = inPhases(100) + QPoint(4, 0);

    drag(inPhases(40), near);
    const double snapped = spans()[0].second;
    window_->commands().undo->trigger();
    drag(inPhases(40), near, Qt::AltModifier);

    EXPECT_EQ(snapped, 100.0);
    EXPECT_NE(spans()[0].second, 100.0);
}

TEST_F(Review, AnEdgeOfAPhaseIsMovedByADragAndBackByUndo) {
    makePhase(50, 120);

    drag(inPhases(120) - QPoint(1, 0), inPhases(160), Qt::AltModifier);
    const double moved = spans()[0].second;
    window_->commands().undo->trigger();

    EXPECT_NEAR(moved, 160, 1.1);
    EXPECT_EQ(spans(), (Spans{{50, 120}}));
}

TEST_F(Review, APhaseIsMadeAndEditedWithoutAMouse) {
    timeline().setCursor(30.0);
    QTest::keyClick(&timeline(), Qt::Key_BracketLeft);
    timeline().setCursor(90.0);
    QTest::keyClick(&timeline(), Qt::Key_BracketRight);
    QTest::keyClick(&timeline(), Qt::Key_1);
    ASSERT_EQ(spans(), (Spans{{30, 90}}));
    EXPECT_EQ(annotations().phases()[0].kind, trace::PhaseKind::WarmUp);

    QTest::keyClick(&timeline(), Qt::Key_Right, Qt::ControlModifier | Qt::ShiftModifier);
    QTest::keyClick(&timeline(), Qt::Key_Left, Qt::ShiftModifier);
    EXPECT_EQ(spans(), (Spans{{29, 91}}));

    timeline().setCursor(60.0);
    QTest::keyClick(&timeline(), Qt::Key_S);
    EXPECT_EQ(spans(), (Spans{{29, 60}, {60, 91}}));

    annotations().selectPhase(0);
    QTest::keyClick(&timeline(), Qt::Key_J);
    EXPECT_EQ(spans(), (Spans{{29, 91}}));

    QTest::keyClick(&timeline(), Qt::Key_Delete);
    EXPECT_TRUE(spans().empty());
}

TEST_F(Review, ADigitGivesTheSelectedPhaseAnotherKind) {
    makePhase(50, 120);
    annotations().selectPhase(0);

    QTest::keyClick(&timeline(), Qt::Key_4);

    EXPECT_EQ(annotations().phases()[0].kind, trace::PhaseKind::Rest);
}

TEST_F(Review, NameAndTimesAreTyped) {
    makePhase(50, 120);
    annotations().selectPhase(0);
    auto* name = window_->findChild<QLineEdit*>("phaseName");
    auto* end = window_->findChild<QLineEdit*>("phaseEnd");

    QTest::keyClick(&timeline(), Qt::Key_F2);
    QTest::keyClicks(name, "harbour loop");
    QTest::keyClick(name, Qt::Key_Return);
    end->setText("2:30");
    QTest::keyClick(end, Qt::Key_Return);

    EXPECT_EQ(annotations().phases()[0].label, "harbour loop");
    EXPECT_EQ(spans(), (Spans{{50, 150}}));
}

TEST_F(Review, ATimeThatIsNoneIsToldAndChangesNothing) {
    makePhase(50, 120);
    annotations().selectPhase(0);
    auto* end = window_->findChild<QLineEdit*>("phaseEnd");

    end->setText("noon");
    QTest::keyClick(end, Qt::Key_Return);

    EXPECT_EQ(spans(), (Spans{{50, 120}}));
    EXPECT_TRUE(window_->banner().isVisible());
    EXPECT_EQ(end->text(), "02:00");
}

// By hand: one step from 100 to 160 is rest, rise and steady.
TEST_F(Review, SuggestionsAreTakenOverOneByOneOrAll) {
    QTest::keyClick(&timeline(), Qt::Key_G, Qt::ControlModifier);
    ASSERT_EQ(annotations().proposals().size(), 3u);
    EXPECT_TRUE(annotations().phases().empty());
    timeline().setCursor(300.0);

    QTest::keyClick(&timeline(), Qt::Key_Return);
    EXPECT_EQ(annotations().phases().size(), 1u);
    EXPECT_EQ(annotations().phases()[0].kind, trace::PhaseKind::Steady);

    QTest::keyClick(&timeline(), Qt::Key_Return, Qt::ControlModifier);
    EXPECT_EQ(annotations().phases().size(), 3u);
    EXPECT_TRUE(annotations().proposals().empty());
}

TEST_F(Review, ADoubleClickTakesAProposalOver) {
    trigger("proposePhases");
    QApplication::processEvents();
    const QRectF lane = canvas()->phasesRect();

    QTest::mouseDClick(&timeline(), Qt::LeftButton, {}, at(300, lane.bottom() - 5));

    ASSERT_EQ(annotations().phases().size(), 1u);
    EXPECT_EQ(annotations().phases()[0].kind, trace::PhaseKind::Steady);
}

TEST_F(Review, PhasesStayWithTheirReferenceWhenTheSessionIsClearedAndBack) {
    makePhase(50, 120);

    window_->commands().clear->trigger();
    const auto cleared = annotations().phases().size();
    window_->commands().undo->trigger();

    EXPECT_EQ(cleared, 0u);
    EXPECT_EQ(spans(), (Spans{{50, 120}}));
}

TEST_F(Review, NextPhaseAndBack) {
    makePhase(50, 120);
    makePhase(200, 300);
    timeline().setCursor(10.0);

    QTest::keyClick(&timeline(), Qt::Key_N, Qt::ShiftModifier);
    const auto first = timeline().cursor();
    QTest::keyClick(&timeline(), Qt::Key_N, Qt::ShiftModifier);
    const auto second = timeline().cursor();
    QTest::keyClick(&timeline(), Qt::Key_P, Qt::ShiftModifier);

    EXPECT_EQ(first, 50.0);
    EXPECT_EQ(second, 200.0);
    EXPECT_EQ(timeline().cursor(), 50.0);
}

TEST_F(Review, TheReadoutNamesThePhaseAtTheCursor) {
    makePhase(50, 120);

    timeline().setCursor(60.0);
    const QString inside = readout("phase");
    timeline().setCursor(150.0);

    EXPECT_EQ(inside, "effort");
    EXPECT_EQ(readout("phase"), QString::fromUtf8("—"));
}

// By hand: 101 s at 96 against 100.
TEST_F(Review, TwoPinsMeasureWhatLiesBetweenThem) {
    timeline().setCursor(20.0);
    QTest::keyClick(&timeline(), Qt::Key_M);
    timeline().setCursor(120.0);
    QTest::keyClick(&timeline(), Qt::Key_M);

    const QString words = window_->findChild<QLabel*>("betweenPins")->text();

    EXPECT_TRUE(words.contains(QString::fromUtf8("100\u00A0s"))) << words.toStdString();
    EXPECT_TRUE(words.contains("101 pairs")) << words.toStdString();
    EXPECT_TRUE(words.contains(QString::fromUtf8("bias −4.00\u00A0bpm"))) << words.toStdString();
    EXPECT_TRUE(words.contains(QString::fromUtf8("reference 100.0\u00A0bpm"))) << words.toStdString();
    EXPECT_TRUE(words.contains(QString::fromUtf8("band 96.0\u00A0bpm"))) << words.toStdString();
}

TEST_F(Review, APinKeepsItsNoteAndIsRemovedUndoably) {
    timeline().setCursor(20.0);
    trigger("pin");
    auto* list = window_->findChild<QListWidget*>("pinList");
    list->item(0)->setSelected(true);
    auto* note = window_->findChild<QLineEdit*>("pinNote");

    note->setText("strap slipped");
    QTest::keyClick(note, Qt::Key_Return);
    EXPECT_EQ(annotations().pins()[0].note, "strap slipped");
    EXPECT_TRUE(list->item(0)->text().contains("strap slipped"));

    list->item(0)->setSelected(true);
    trigger("removePins");
    EXPECT_TRUE(annotations().pins().empty());
    window_->commands().undo->trigger();
    EXPECT_EQ(annotations().pins()[0].note, "strap slipped");
}

TEST_F(Review, PinsAndPhasesAreCopiedForASpreadsheet) {
    makePhase(50, 120);
    timeline().setCursor(20.0);
    trigger("pin");

    trigger("copyMarks");

    const QString text = QApplication::clipboard()->text();
    EXPECT_TRUE(text.contains("pin\t\t\t20.000\t\t09:00:20 UTC")) << text.toStdString();
    EXPECT_TRUE(text.contains("phase\t\teffort\t50.000\t120.000")) << text.toStdString();
}

// By hand: 51 s of 4 low are an error of -4 in all.
TEST_F(Review, ShiftAndADragSelectAStretchAndItsNumbersStandInOneLine) {
    drag(inOverlay(50), inOverlay(100), Qt::ShiftModifier | Qt::AltModifier);

    ASSERT_TRUE(selection().range());
    EXPECT_NEAR(selection().range()->first, 50, 1);
    EXPECT_NEAR(selection().range()->second, 100, 1);
    EXPECT_TRUE(filterText().contains(QString::fromUtf8("bias −4.00\u00A0bpm")))
        << filterText().toStdString();
    EXPECT_TRUE(window_->findChild<app::FilterBar*>()->isVisible());
}

TEST_F(Review, EscapeClearsTheFilter) {
    selection().setRange(std::pair{10.0, 20.0});

    QTest::keyClick(&timeline(), Qt::Key_Escape);

    EXPECT_FALSE(selection().isActive());
    EXPECT_FALSE(window_->findChild<app::FilterBar*>()->isVisible());
}

TEST_F(Review, ASelectionLightsUpTheMapAndDimsTheRest) {
    window_->showPage(app::Page::Agreement);
    QApplication::processEvents();
    auto* map = window_->findChild<widgets::AgreementMapView*>("agreementMap");
    auto* drawn = map->findChild<widgets::AgreementMapCanvas*>();
    const auto colourAt = [&](int reference, int test) {
        const auto cell =
            drawn->cellRect({reference - drawn->map().lowest_bpm, test - drawn->map().lowest_bpm});
        return map->grab().toImage().pixelColor(cell.center().toPoint());
    };
    const QColor before = colourAt(160, 84), other = colourAt(100, 96);

    selection().setRange(std::pair{0.0, 199.0});
    QApplication::processEvents();

    EXPECT_NE(colourAt(160, 84), before);
    EXPECT_EQ(colourAt(100, 96), other);
    selection().clear();
    QApplication::processEvents();
    EXPECT_EQ(colourAt(160, 84), before);
}

TEST_F(Review, ABoxDraggedInTheMapLightsItsSecondsOnTheTimeline) {
    window_->showPage(app::Page::Agreement);
    QApplication::processEvents();
    auto* map = window_->findChild<widgets::AgreementMapView*>("agreementMap");
    auto* drawn = map->findChild<widgets::AgreementMapCanvas*>();
    const auto spot = [&](int reference, int test) {
        return drawn->cellRect({reference - drawn->map().lowest_bpm, test - drawn->map().lowest_bpm})
            .center()
            .toPoint();
    };

    QTest::mousePress(map, Qt::LeftButton, {}, spot(155, 82));
    QMouseEvent move(QEvent::MouseMove, spot(162, 88), map->mapToGlobal(spot(162, 88)), Qt::NoButton,
                     Qt::LeftButton, Qt::NoModifier);
    QApplication::sendEvent(map, &move);
    QTest::mouseRelease(map, Qt::LeftButton, {}, spot(162, 88));

    ASSERT_EQ(timeline().marks().lit.size(), 1u);
    EXPECT_EQ(timeline().marks().lit[0], (widgets::Stretch{200, 399}));
    QTest::mouseClick(map, Qt::LeftButton, {}, spot(120, 120));
    EXPECT_FALSE(selection().isActive());
}

TEST_F(Review, ABoxIsSelectedInTheMapByKeys) {
    window_->showPage(app::Page::Agreement);
    auto* map = window_->findChild<widgets::AgreementMapView*>("agreementMap");
    QTest::keyClick(map, Qt::Key_Right);  // the fullest cell

    QTest::keyClick(map, Qt::Key_Right, Qt::ShiftModifier);

    ASSERT_TRUE(selection().box());
    EXPECT_EQ(selection().box()->referenceHigh_bpm - selection().box()->referenceLow_bpm, 2.0);
}

TEST_F(Review, ABandAlongAGuideIsSteppedThroughByItsStretches) {
    QTest::keyClick(&timeline(), Qt::Key_B);
    QTest::keyClick(&timeline(), Qt::Key_B);  // along 1:2
    timeline().setCursor(0.0);

    QTest::keyClick(&timeline(), Qt::Key_X);

    EXPECT_EQ(timeline().cursor(), 200.0);
    EXPECT_TRUE(filterText().contains("1:2")) << filterText().toStdString();
    EXPECT_TRUE(filterText().contains("200 of 400")) << filterText().toStdString();
}

TEST_F(Review, FiltersByPhaseAndRangeCombine) {
    makePhase(50, 120);
    selection().setPhases({"effort"});
    selection().setRange(std::pair{100.0, 300.0});

    EXPECT_TRUE(filterText().contains("20 of 400")) << filterText().toStdString();
}

TEST_F(Review, TheViewGoesBackAndForward) {
    timeline().setRange(100, 200);
    trigger("viewBack");
    const auto back = timeline().range();
    trigger("viewForward");

    EXPECT_EQ(back, (std::pair{0.0, 399.0}));
    EXPECT_EQ(timeline().range(), (std::pair{100.0, 200.0}));
}

TEST_F(Review, ControlAndADragZoom) {
    drag(inOverlay(100), inOverlay(200), Qt::ControlModifier | Qt::AltModifier);

    EXPECT_NEAR(timeline().range().first, 100, 1);
    EXPECT_NEAR(timeline().range().second, 200, 1);
}

TEST_F(Review, WhatWasInSightComesBackWithTheSession) {
    timeline().setRange(100, 200);
    timeline().setCursor(150.0);
    selection().setRange(std::pair{110.0, 120.0});
    window_->close();
    window_ = std::make_unique<app::MainWindow>(settings_);
    window_->show();

    drop({folder_.filePath("strap.csv"), folder_.filePath("band.csv")});
    ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));

    EXPECT_EQ(timeline().range(), (std::pair{100.0, 200.0}));
    EXPECT_EQ(timeline().cursor(), 150.0);
    EXPECT_EQ(selection().range(), (std::pair{110.0, 120.0}));
}

TEST_F(Review, NoTwoCommandsShareAShortcut) {
    std::map<QString, QStringList> names;  // by key, of all that work wherever the focus is
    for (auto* action : window_->findChildren<QAction*>())
        for (const auto& key : action->shortcuts())
            if (!key.isEmpty() && action->shortcutContext() == Qt::WindowShortcut)
                names[key.toString()] << action->text();

    for (const auto& [key, commands] : names)
        EXPECT_EQ(commands.size(), 1) << key.toStdString() << ": " << commands.join(", ").toStdString();
}

TEST_F(Review, AFlagAndAPhaseAreFittedIntoTheView) {
    makePhase(40, 60);
    window_->commands().nextFlag->trigger();
    trigger("fitFlag");
    const auto flag = timeline().range();
    timeline().setCursor(50.0);
    trigger("fitPhase");

    // The band reads half from 200 s on.
    EXPECT_LE(flag.first, 205);
    EXPECT_GE(flag.second, 395);
    EXPECT_EQ(timeline().range(), (std::pair{40.0, 60.0}));
}

TEST_F(Review, AFlagKindChosenInTheMenuFiltersThePairs) {
    QMenu* menu = nullptr;
    for (auto* one : window_->findChildren<QMenu*>())
        if (one->title() == "Only &Flags") menu = one;
    ASSERT_NE(menu, nullptr);
    emit menu->aboutToShow();
    ASSERT_FALSE(menu->actions().isEmpty());

    menu->actions().front()->trigger();

    EXPECT_TRUE(selection().isActive());
    for (const auto second : selection().selected().pairs->seconds)
        EXPECT_GE(second, 195);
}

TEST_F(Review, ADeviceIsHiddenShownAndMoved) {
    const auto watch = recordingFile("watch.csv", 400, [](int s) { return s < 200 ? 101.0 : 158.0; });
    window_->opening().openByRole({folder_.filePath("strap.csv"), {folder_.filePath("band.csv"), watch}, {}});
    ASSERT_TRUE(waitFor([&] {
        return window_->document().hasSession() && window_->document().analysis()->tests.size() == 2;
    }));
    const auto both = timeline().shownTests();

    trigger("hideDevice");
    const auto less = timeline().shownTests();
    trigger("hideDevice");
    timeline().setShownTests(both);
    trigger("deviceDown");

    EXPECT_EQ(both.size(), 2u);
    EXPECT_EQ(less, std::vector<int>{both[1]});
    EXPECT_EQ(timeline().shownTests(), (std::vector<int>{both[1], both[0]}));
}

TEST_F(Review, LapsOfTheReferenceAreSteppedThrough) {
    QByteArray laps = "<TrainingCenterDatabase><Activities><Activity Sport=\"Other\">";
    for (const int lap : {0, 1}) {
        const auto start =
            QDateTime::fromSecsSinceEpoch(1930381200 + lap * 200, Qt::UTC).toString(Qt::ISODate);
        laps += "<Lap StartTime=\"" + start.toLatin1() + "\"><TotalTimeSeconds>200</TotalTimeSeconds><Track>";
        for (int s = 0; s < 200; ++s)
            laps += "<Trackpoint><Time>" +
                    QDateTime::fromSecsSinceEpoch(1930381200 + lap * 200 + s, Qt::UTC)
                        .toString(Qt::ISODate)
                        .toLatin1() +
                    "</Time><HeartRateBpm><Value>" + QByteArray::number(lap == 0 ? 100 : 160) +
                    "</Value></HeartRateBpm></Trackpoint>";
        laps += "</Track></Lap>";
    }
    laps += "</Activity></Activities></TrainingCenterDatabase>";
    window_->opening().openByRole({textFile("strap.tcx", laps), {folder_.filePath("band.csv")}, {}});
    ASSERT_TRUE(waitFor([&] {
        return window_->document().hasSession() && !annotations().laps().empty() &&
               !window_->document().runner().busy();
    }));
    timeline().setCursor(10.0);

    trigger("nextLap");
    const auto second = timeline().cursor();
    trigger("previousLap");

    ASSERT_TRUE(second);
    EXPECT_NEAR(*second, 200, 1);
    EXPECT_NEAR(timeline().cursor().value_or(-1), 0, 1);
}

TEST_F(Review, TheVerticalScaleIsTheSessionsWhatIsInSightOrCommon) {
    timeline().setRange(0, 100);
    const auto height = [&] { return canvas()->grab().toImage(); };
    const auto whole = height();

    QTest::keyClick(&timeline(), Qt::Key_V);
    const auto inSight = height();
    QTest::keyClick(&timeline(), Qt::Key_V);
    const auto common = height();

    EXPECT_EQ(timeline().scale(), widgets::TimelineView::Scale::Common);
    EXPECT_NE(whole, inSight);
    EXPECT_NE(inSight, common);
}

}  // namespace
}  // namespace beatwitness::tests
