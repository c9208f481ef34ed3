// Deciding on flags, on the real window.
#include <QApplication>
#include <QInputDialog>
#include <QLabel>
#include <QTest>
#include <QTreeWidget>
#include <algorithm>
#include <cmath>

#include "app/document/reviewing.h"
#include "app/document/selection.h"
#include "app/pages/flags_panel.h"
#include "app/pages/session_page.h"
#include "app/windows/flag_commands.h"
#include "core/analysis/settings_table.h"
#include "tests/app/window_fixture.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::tests {
namespace {

using flags::FlagKind;
using flags::Verdict;

class Deciding : public WindowTest {
protected:
    /// 600 s that rise and fall; the band reads 4 low and has no sample from 300 to 360 s.
    void SetUp() override {
        const auto rate = [](int s) { return 100.0 + 40.0 * std::sin(s / 40.0); };
        QByteArray band = "timestamp,hr\n";
        for (int s = 0; s < 600; ++s)
            if (s < 300 || s > 360)
                band +=
                    QByteArray::number(1930380000 + s) + ',' + QByteArray::number(qRound(rate(s) - 4)) + '\n';
        QByteArray strap = "timestamp,hr\n";
        for (int s = 0; s < 600; ++s)
            strap += QByteArray::number(1930380000 + s) + ',' + QByteArray::number(qRound(rate(s))) + '\n';
        drop({textFile("strap.csv", strap), textFile("band.csv", band)});
        ASSERT_TRUE(waitFor([&] { return window_->document().hasSession(); }));
        QApplication::processEvents();
        panel().step(1);
    }

    app::FlagsPanel& panel() { return window_->sessionPage().flagsPanel(); }
    widgets::TimelineView& timeline() { return window_->sessionPage().timeline(); }
    const analysis::TestAnalysis& test() { return window_->document().test(); }
    void trigger(const char* name) {
        auto* action = window_->flagCommands().action(QString::fromLatin1(name));
        ASSERT_NE(action, nullptr) << name;
        action->trigger();
        QApplication::processEvents();
    }
    std::vector<const flags::Flag*> dropouts() {
        std::vector<const flags::Flag*> found;
        for (const auto& flag : test().flags)
            if (flag.kind == FlagKind::Dropout) found.push_back(&flag);
        return found;
    }
    QPoint at(double seconds, double y) {
        const auto* canvas = timeline().findChild<widgets::TimelineCanvas*>();
        const QRectF rect = canvas->overlayRect();
        const auto [begin, end] = timeline().range();
        return {qRound(rect.left() + (seconds - begin) / (end - begin) * rect.width()), qRound(y)};
    }
    QPoint inLane(double seconds) {
        return at(seconds, timeline().findChild<widgets::TimelineCanvas*>()->lanesRect().center().y());
    }
    void drag(QPoint from, QPoint to) {
        QTest::mousePress(&timeline(), Qt::LeftButton, Qt::NoModifier, from);
        for (const QPoint& point : {(from + to) / 2, to}) {
            QMouseEvent move(QEvent::MouseMove, point, timeline().mapToGlobal(point), Qt::NoButton,
                             Qt::LeftButton, Qt::AltModifier);
            QApplication::sendEvent(&timeline(), &move);
        }
        QTest::mouseRelease(&timeline(), Qt::LeftButton, Qt::AltModifier, to);
        QApplication::processEvents();
    }
    void undo() {
        window_->document().undoStack().undo();
        QApplication::processEvents();
    }
};

}  // namespace

TEST_F(Deciding, DismissingAFlagTakesItOutAndUndoBringsItBack) {
    ASSERT_EQ(dropouts().size(), 1u);

    trigger("dismissFlag");
    const auto without = dropouts().size();
    undo();

    EXPECT_EQ(without, 0u);
    EXPECT_EQ(dropouts().size(), 1u);
    EXPECT_FALSE(dropouts()[0]->verdict);
}

TEST_F(Deciding, ADismissedFlagStaysInTheListToBeBroughtBack) {
    trigger("dismissFlag");

    ASSERT_NE(panel().atHand(), nullptr);
    trigger("keepFlag");

    ASSERT_EQ(dropouts().size(), 1u);
    EXPECT_EQ(dropouts()[0]->verdict, Verdict::Kept);
}

TEST_F(Deciding, RelabellingChangesTheKindAndCountsAsByHand) {
    trigger("relabel-stuck");

    EXPECT_TRUE(dropouts().empty());
    EXPECT_EQ(test().flagsByHand, 1);
    EXPECT_EQ(panel().atHand()->kind, FlagKind::Stuck);
}

TEST_F(Deciding, AnEdgeMovesToTheCursor) {
    timeline().setCursor(420.0);

    trigger("flagEndsHere");

    ASSERT_EQ(dropouts().size(), 1u);
    EXPECT_NEAR(secondsOf(dropouts()[0]->span.end), 420.0, 1e-3);
    EXPECT_EQ(dropouts()[0]->verdict, Verdict::Moved);
}

TEST_F(Deciding, AnEdgeMovesByDraggingInTheLane) {
    timeline().fitAll();
    const double end = secondsOf(dropouts().at(0)->span.end);

    drag(inLane(end) - QPoint(1, 0), inLane(end + 60));

    ASSERT_EQ(dropouts().size(), 1u);
    EXPECT_NEAR(secondsOf(dropouts()[0]->span.end), end + 60, 4.0);
}

TEST_F(Deciding, ASelectedStretchBecomesAFlag) {
    window_->document().selection().setRange(std::pair{100.0, 150.0});

    trigger("add-adrift");

    const auto added = std::ranges::find(test().flags, std::optional{Verdict::Added}, &flags::Flag::verdict);
    ASSERT_NE(added, test().flags.end());
    EXPECT_EQ(added->kind, FlagKind::Adrift);
    EXPECT_NEAR(secondsOf(added->span.begin), 100.0, 1e-3);
    // By hand: the band reads 4 low throughout.
    EXPECT_NEAR(added->magnitude, 4.0, 0.6);
}

TEST_F(Deciding, DraggingInAnEmptyPartOfTheLaneSelectsTheStretchToBeFlagged) {
    timeline().fitAll();

    drag(inLane(100), inLane(200));
    if (auto* menu = QApplication::activePopupWidget()) menu->close();

    const auto range = window_->document().selection().range();
    ASSERT_TRUE(range);
    EXPECT_NEAR(range->first, 100.0, 4.0);
    EXPECT_NEAR(range->second, 200.0, 4.0);
}

TEST_F(Deciding, AReferenceFlaggedByHandLeavesItsSecondsOut) {
    const auto before = window_->document().analysis()->excludedReferenceSeconds;
    window_->document().selection().setRange(std::pair{100.0, 149.0});

    trigger("addToReference-stuck");

    ASSERT_TRUE(
        waitFor([&] { return window_->document().analysis()->excludedReferenceSeconds == before + 50; }));
    undo();
    EXPECT_TRUE(waitFor([&] { return window_->document().analysis()->excludedReferenceSeconds == before; }));
}

TEST_F(Deciding, ANoteStandsInTheWordsAboutTheFlag) {
    trigger("noteFlag");
    auto* dialog = window_->findChild<QInputDialog*>(QStringLiteral("noteDialog"));
    ASSERT_NE(dialog, nullptr);

    dialog->setTextValue(QStringLiteral("sleeve over the sensor"));
    dialog->accept();
    QApplication::processEvents();

    EXPECT_EQ(panel().atHand()->note, "sleeve over the sensor");
    EXPECT_TRUE(window_->findChild<QLabel*>(QStringLiteral("flagExplanation"))
                    ->text()
                    .contains(QStringLiteral("sleeve over the sensor")));
}

TEST_F(Deciding, HidingNamesHidesThemInEveryLabelOfThePageAndIsRecorded) {
    trigger("hideNames");
    panel().step(1);
    trigger("keepFlag");

    for (const auto* label : window_->sessionPage().findChildren<QLabel*>())
        EXPECT_FALSE(label->text().contains(QStringLiteral("band"))) << qPrintable(label->text());
    const auto& review = window_->document().reviewing().review();
    ASSERT_EQ(review.wearings.size(), 1u);
    EXPECT_TRUE(review.wearings[0].decisions.at(0).blind);
}

TEST_F(Deciding, ASecondPassStartsWithoutASightOfTheFirst) {
    trigger("dismissFlag");

    trigger("beginPass");

    ASSERT_EQ(dropouts().size(), 1u);
    EXPECT_FALSE(dropouts()[0]->verdict);
}

TEST_F(Deciding, TwoPassesThatAgreeHaveAKappaOfOne) {
    trigger("keepFlag");
    trigger("beginPass");
    panel().step(1);
    trigger("keepFlag");

    trigger("finishPass");

    const auto kappa = window_->document().reviewing().kappa();
    ASSERT_TRUE(kappa);
    EXPECT_DOUBLE_EQ(*kappa, 1.0);
}

TEST_F(Deciding, AThresholdThatIsChangedIsSaidBesideTheFlags) {
    auto settings = window_->document().truePlan().settings;
    ASSERT_TRUE(analysis::setThreshold(settings, "alignment_smoothing_s", 4));

    window_->document().setThresholds(settings, QStringLiteral("threshold"));

    const auto* summary = window_->findChild<QLabel*>(QStringLiteral("reviewSummary"));
    EXPECT_TRUE(waitFor([&] { return summary->text().contains(QStringLiteral("1 threshold")); }));
}

TEST_F(Deciding, TheDialogListsEveryThreshold) {
    trigger("thresholds");

    const auto* dialog = window_->findChild<QDialog*>(QStringLiteral("thresholdsDialog"));
    ASSERT_NE(dialog, nullptr);
    EXPECT_EQ(dialog->findChild<QTreeWidget*>()->topLevelItemCount(),
              static_cast<int>(analysis::settingsTable({}).size()));
}

}  // namespace beatwitness::tests
