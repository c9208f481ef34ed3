#include "widgets/plots/agreement_map_view.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QSignalSpy>
#include <QTest>

#include "tests/widgets/plots/demo_session.h"
#include "widgets/plots/agreement_map_canvas.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;
using widgets_test::sessionOf;
using widgets_test::steady;

namespace {

/// 12 s of (151, 76), then 88 s of (120, 121): 100 pairs.
std::shared_ptr<const analysis::SessionAnalysis> twoCells() {
    auto reference = steady(0, 11, 151), band = steady(0, 11, 76);
    const auto moreReference = steady(12, 99, 120), moreBand = steady(12, 99, 121);
    reference.insert(reference.end(), moreReference.begin(), moreReference.end());
    band.insert(band.end(), moreBand.begin(), moreBand.end());
    return sessionOf(reference, {band});
}

class AgreementMap : public ::testing::Test {
protected:
    AgreementMap() {
        widgets::applyTheme(*qApp, widgets::ThemeChoice::Light);
        view.resize(600, 640);
        view.setPairs(twoCells(), 0, true);
        view.show();
        QApplication::processEvents();
        canvas = view.findChild<widgets::AgreementMapCanvas*>();
    }
    /// Middle of the cell (reference, test), given in bpm, at cell width 1.
    [[nodiscard]] QPoint at(int reference, int test) const {
        const int lowest = canvas->map().lowest_bpm;
        return canvas->cellRect({reference - lowest, test - lowest}).center().toPoint();
    }

    widgets::AgreementMapView view;
    widgets::AgreementMapCanvas* canvas = nullptr;
};

}  // namespace

TEST_F(AgreementMap, IsSquare) {
    EXPECT_EQ(canvas->mapRect().width(), canvas->mapRect().height());
}

TEST_F(AgreementMap, ReadsACellByHovering) {
    QSignalSpy readouts(&view, &widgets::AgreementMapView::readoutChanged);

    QTest::mouseMove(&view, at(151, 76));

    EXPECT_EQ(view.readout(), "reference 151, band 76 bpm: 12\u00A0s, 12.0\u00A0%");
    EXPECT_EQ(readouts.count(), 1);
}

TEST_F(AgreementMap, ReadsCellsByKeysFromTheFullestOn) {
    QTest::keyClick(&view, Qt::Key_Right);
    EXPECT_EQ(view.readout(), "reference 120, band 121 bpm: 88\u00A0s, 88.0\u00A0%");

    QTest::keyClick(&view, Qt::Key_Up);
    EXPECT_EQ(view.readout(), "reference 120, band 122 bpm: 0\u00A0s, 0.00\u00A0%");

    QTest::keyClick(&view, Qt::Key_Escape);
    EXPECT_EQ(view.readout(), "");
}

TEST_F(AgreementMap, PaintsFullCellsAndLeavesEmptyOnesPaper) {
    const QImage image = view.grab().toImage();

    EXPECT_NE(image.pixelColor(at(151, 76)), widgets::lightPalette().paper);
    EXPECT_EQ(image.pixelColor(at(140, 100)), widgets::lightPalette().paper);
}

// By hand: cells of 5 bpm from 25 on: 120 and 121 lie in 120 to 124.
TEST_F(AgreementMap, CountsInWiderCells) {
    view.setCellWidth(5);

    QTest::keyClick(&view, Qt::Key_Right);

    EXPECT_EQ(view.readout(), "reference 120 to 124, band 120 to 124 bpm: 88\u00A0s, 88.0\u00A0%");
}

TEST_F(AgreementMap, RefusesCellWidthsThatAlias) {
    view.setCellWidth(3);

    EXPECT_EQ(view.cellWidth(), 1);
}

TEST_F(AgreementMap, RingsThePairAtTheCursor) {
    const QImage before = view.grab().toImage();

    view.setCursorPair(std::pair{140.0, 100.0});

    EXPECT_NE(view.grab().toImage(), before);
}

TEST_F(AgreementMap, DescribesItselfToAScreenReader) {
    EXPECT_EQ(view.accessibleDescription(), "Agreement map of band against the reference, 100 pairs");
}

TEST_F(AgreementMap, ShowsAnEmptyMapWithoutASession) {
    view.clear();

    QTest::keyClick(&view, Qt::Key_Right);
    QTest::mouseMove(&view, {300, 300});

    EXPECT_EQ(view.readout(), "");
    EXPECT_EQ(view.accessibleDescription(), "Agreement map, empty");
}
