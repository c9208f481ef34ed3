#include "widgets/plots/timeline_view.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QSignalSpy>
#include <QTest>
#include <QWheelEvent>

#include "tests/widgets/plots/demo_session.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;
using widgets::TimelineView;
using widgets_test::sessionOf;
using widgets_test::steady;

namespace {

/// Ten minutes, reference and band level; the band pauses from 200 to 300 s.
std::shared_ptr<const analysis::SessionAnalysis> sessionWithAGap() {
    auto band = steady(0, 200, 120);
    const auto rest = steady(300, 600, 120);
    band.insert(band.end(), rest.begin(), rest.end());
    return sessionOf(steady(0, 600, 150), {band});
}

class Timeline : public ::testing::Test {
protected:
    Timeline() {
        widgets::applyTheme(*qApp, widgets::ThemeChoice::Light);
        view.resize(1000, 700);
        view.setSession(sessionWithAGap());
        view.show();
        QApplication::processEvents();
        canvas = view.findChild<widgets::TimelineCanvas*>();
    }

    [[nodiscard]] QPoint at(double seconds) const {
        const QRectF rect = canvas->overlayRect();
        const auto [begin, end] = view.range();
        return {qRound(rect.left() + (seconds - begin) / (end - begin) * rect.width()),
                qRound(rect.center().y())};
    }
    void wheel(QPoint where, QPoint angle, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
        QWheelEvent event(where, view.mapToGlobal(where), {}, angle, Qt::NoButton, modifiers,
                          Qt::NoScrollPhase, false);
        QApplication::sendEvent(&view, &event);
    }
    void drag(QPoint from, QPoint to) {
        QTest::mousePress(&view, Qt::LeftButton, {}, from);
        QTest::mouseMove(&view, (from + to) / 2);
        QTest::mouseMove(&view, to);
        QTest::mouseRelease(&view, Qt::LeftButton, {}, to);
    }
    /// Whether `colour` (nearly) stands in the column of `seconds` in the overlay.
    [[nodiscard]] bool columnHas(double seconds, const QColor& colour) {
        const QImage image = view.grab().toImage();
        const QRectF rect = canvas->overlayRect();
        for (int y = qCeil(rect.top()); y < rect.bottom(); ++y) {
            const QColor pixel = image.pixelColor(at(seconds).x(), y);
            if (std::abs(pixel.red() - colour.red()) + std::abs(pixel.green() - colour.green()) +
                    std::abs(pixel.blue() - colour.blue()) <
                60)
                return true;
        }
        return false;
    }

    TimelineView view;
    widgets::TimelineCanvas* canvas = nullptr;
};

}  // namespace

TEST_F(Timeline, ShowsTheWholeSessionAtFirst) {
    EXPECT_EQ(view.range(), (std::pair{0.0, 600.0}));
    EXPECT_EQ(view.cursor(), std::nullopt);
}

TEST_F(Timeline, ZoomsAtThePointerByTheWheel) {
    const QPoint pointer = at(450);

    wheel(pointer, {0, 120});

    EXPECT_NEAR(view.range().second - view.range().first, 480, 1e-6);
    EXPECT_NEAR(at(450).x(), pointer.x(), 1);
}

TEST_F(Timeline, PansByShiftAndWheelWithoutZooming) {
    view.setRange(200, 300);

    wheel(at(250), {0, -120}, Qt::ShiftModifier);

    EXPECT_GT(view.range().first, 200);
    EXPECT_NEAR(view.range().second - view.range().first, 100, 1e-9);
}

TEST_F(Timeline, PansByAHorizontalWheel) {
    view.setRange(200, 300);

    wheel(at(250), {120, 0});

    EXPECT_LT(view.range().first, 200);
    EXPECT_NEAR(view.range().second - view.range().first, 100, 1e-9);
}

TEST_F(Timeline, PansByADragThatKeepsTheSecondUnderThePointer) {
    view.setRange(200, 300);
    const QPoint from = at(270), to = at(240);

    drag(from, to);

    EXPECT_NEAR(view.range().first, 230, 0.3);
    EXPECT_EQ(view.cursor(), std::nullopt);
}

TEST_F(Timeline, NeverLeavesTheSession) {
    view.setRange(-500, -400);
    EXPECT_EQ(view.range(), (std::pair{0.0, 100.0}));

    view.setRange(550, 800);
    EXPECT_EQ(view.range(), (std::pair{350.0, 600.0}));

    view.setRange(-1e9, 1e9);
    EXPECT_EQ(view.range(), (std::pair{0.0, 600.0}));
}

TEST_F(Timeline, NeverShowsLessThanFiveSeconds) {
    for (int i = 0; i < 100; ++i)
        wheel(at(450), {0, 120});

    EXPECT_NEAR(view.range().second - view.range().first, 5.0, 1e-9);
    EXPECT_LE(view.range().first, 450);
    EXPECT_GE(view.range().second, 450);
}

TEST_F(Timeline, PinsTheCursorByAClickOnAWholeSecond) {
    QTest::mouseClick(&view, Qt::LeftButton, {}, at(123));

    ASSERT_TRUE(view.cursor());
    EXPECT_EQ(*view.cursor(), std::round(*view.cursor()));
    EXPECT_NEAR(*view.cursor(), 123, 1);
}

TEST_F(Timeline, HoversTheCursorOnlyWhileThePointerIsThere) {
    view.setCursor(100.0);
    QTest::mouseMove(&view, at(400));
    ASSERT_NEAR(view.cursor().value_or(0), 400, 1);

    QEvent leave(QEvent::Leave);
    QApplication::sendEvent(&view, &leave);

    EXPECT_EQ(view.cursor(), 100.0);
}

TEST_F(Timeline, StepsTheCursorByKeys) {
    view.setCursor(100.0);

    QTest::keyClick(&view, Qt::Key_Right);
    EXPECT_EQ(view.cursor(), 101.0);
    QTest::keyClick(&view, Qt::Key_PageDown);
    EXPECT_EQ(view.cursor(), 111.0);
    QTest::keyClick(&view, Qt::Key_Home);
    EXPECT_EQ(view.cursor(), 0.0);
    QTest::keyClick(&view, Qt::Key_Left);
    EXPECT_EQ(view.cursor(), 0.0);
    QTest::keyClick(&view, Qt::Key_End);
    EXPECT_EQ(view.cursor(), 600.0);
    QTest::keyClick(&view, Qt::Key_Escape);
    EXPECT_EQ(view.cursor(), std::nullopt);
}

TEST_F(Timeline, ZoomsAndPansByKeys) {
    QTest::keyClick(&view, Qt::Key_Plus);
    EXPECT_NEAR(view.range().second - view.range().first, 480, 1e-6);
    const double before = view.range().first;
    QTest::keyClick(&view, Qt::Key_Left, Qt::ControlModifier);
    EXPECT_LT(view.range().first, before);
    QTest::keyClick(&view, Qt::Key_0);
    EXPECT_EQ(view.range(), (std::pair{0.0, 600.0}));
}

TEST_F(Timeline, PansToKeepASteppedCursorInSight) {
    view.setRange(100, 110);
    view.setCursor(110.0);

    QTest::keyClick(&view, Qt::Key_Right);

    EXPECT_LE(view.range().first, 111);
    EXPECT_GE(view.range().second, 111);
}

TEST_F(Timeline, MovesTheWindowOfTheOverviewByADrag) {
    view.setRange(100, 200);
    const QRectF window = canvas->windowRect();
    const int y = qRound(window.center().y());
    const double perPixel = 600.0 / canvas->overviewRect().width();

    drag({qRound(window.center().x()), y}, {qRound(window.center().x()) + 100, y});

    EXPECT_NEAR(view.range().first, 100 + 100 * perPixel, 1e-6);
    EXPECT_NEAR(view.range().second, 200 + 100 * perPixel, 1e-6);
}

TEST_F(Timeline, WidensTheWindowOfTheOverviewByItsEdge) {
    view.setRange(100, 200);
    const QRectF window = canvas->windowRect();
    const int y = qRound(window.center().y());

    drag({qRound(window.right()), y}, {qRound(window.right()) + 50, y});

    EXPECT_NEAR(view.range().first, 100, 1e-9);
    EXPECT_GT(view.range().second, 220);
}

TEST_F(Timeline, TellsWhatChanged) {
    QSignalSpy ranges(&view, &TimelineView::rangeChanged);
    QSignalSpy cursors(&view, &TimelineView::cursorMoved);

    view.setRange(100, 200);
    view.setRange(100, 200);
    view.setCursor(150.2);
    view.setCursor(150.4);

    EXPECT_EQ(ranges.count(), 1);
    EXPECT_EQ(cursors.count(), 1);
}

TEST_F(Timeline, DrawsAGapAsAGap) {
    const QColor band = widgets::lightPalette().trace(0);

    EXPECT_TRUE(columnHas(100, band));
    EXPECT_FALSE(columnHas(250, band));
    EXPECT_TRUE(columnHas(400, band));
    EXPECT_TRUE(columnHas(250, widgets::lightPalette().reference));
}

TEST_F(Timeline, MarksADropoutWithATintAndDashedEdges) {
    const QImage image = view.grab().toImage();
    const int y = qRound(canvas->overlayRect().bottom()) - 4;
    const QColor paper = widgets::lightPalette().paper;

    EXPECT_NE(image.pixelColor(at(250).x(), y), paper);
    EXPECT_EQ(image.pixelColor(at(100).x(), y), paper);
    EXPECT_TRUE(columnHas(201, widgets::lightPalette().flag(flags::FlagKind::Dropout).colour));
}

TEST_F(Timeline, IsDrawnInFullAgainOnceAMovementIsOver) {
    view.setRange(100, 400);
    QTest::qWait(200);
    const QImage full = view.grab().toImage();

    view.setRange(90, 390);
    view.setRange(100, 400);
    const QImage moving = view.grab().toImage();
    QTest::qWait(200);
    const QImage rested = view.grab().toImage();

    EXPECT_NE(moving, full);
    EXPECT_EQ(rested, full);
}

// Only strips are painted when the cursor moves; they must hold all of it, and all that it uncovers.
TEST_F(Timeline, ShowsTheSameAfterACursorStepAsAfterPaintingAnew) {
    // From the backing store: grab() would paint everything anew.
    const auto onScreen = [&] {
        QTest::qWait(30);
        return view.screen()->grabWindow(view.winId()).toImage();
    };
    ASSERT_TRUE(QTest::qWaitForWindowExposed(&view));
    view.setCursor(120.0);
    QTest::qWait(30);

    view.setCursor(420.0);
    const QImage stepped = onScreen();
    canvas->redraw();

    EXPECT_EQ(stepped, onScreen());
}

TEST_F(Timeline, PaintsItsLastRowToo) {
    const QImage image = view.grab().toImage();

    EXPECT_EQ(image.pixelColor(image.width() / 2, image.height() - 1), widgets::lightPalette().paper);
}

TEST_F(Timeline, ShowsAFocusRingOnlyWhereTheKeyboardBroughtTheFocus) {
    const auto edge = [&] { return view.grab().toImage().pixelColor(view.width() / 2, 0); };
    view.activateWindow();
    ASSERT_TRUE(QTest::qWaitForWindowActive(&view));
    view.clearFocus();

    view.setFocus(Qt::MouseFocusReason);
    EXPECT_EQ(edge(), widgets::lightPalette().paper);

    view.clearFocus();
    view.setFocus(Qt::TabFocusReason);
    EXPECT_EQ(edge(), widgets::lightPalette().accent);
}

TEST_F(Timeline, FollowsTheThemeWithoutBeingTold) {
    widgets::applyTheme(*qApp, widgets::ThemeChoice::Dark);
    QApplication::processEvents();

    const QColor corner = view.grab().toImage().pixelColor(3, view.height() / 2);

    EXPECT_EQ(corner, widgets::darkPalette().paper);
}

TEST_F(Timeline, DescribesItselfToAScreenReader) {
    view.setCursor(100.0);
    EXPECT_EQ(view.accessibleDescription(),
              "Timeline, 10\u00A0min, 1 flag, as recorded; 01:40 reference 150, band 120");

    view.setCursor(250.0);
    EXPECT_TRUE(view.accessibleDescription().endsWith("reference 150, band \u2014"));
}

TEST_F(Timeline, IgnoresEveryGestureWithoutASession) {
    view.clear();

    wheel({500, 300}, {0, 120});
    drag({300, 300}, {500, 300});
    QTest::keyClick(&view, Qt::Key_Right);
    QTest::keyClick(&view, Qt::Key_End);

    EXPECT_EQ(view.cursor(), std::nullopt);
}

// By hand: an offset of 30 s moves a band of 0 to 600 s to 30 to 630 s.
TEST(TimelineClock, ShowsBothClocksInTheirOwnExtent) {
    TimelineView view;
    view.setSession(sessionOf(steady(0, 600, 150), {steady(0, 600, 120)}, 30.0));
    EXPECT_EQ(view.extent(), (std::pair{0.0, 630.0}));

    view.setAligned(false);

    EXPECT_EQ(view.extent(), (std::pair{0.0, 600.0}));
    EXPECT_EQ(view.range(), (std::pair{0.0, 600.0}));
}
