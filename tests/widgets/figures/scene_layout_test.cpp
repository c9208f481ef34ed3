#include "widgets/figures/scene_layout.h"

#include <gtest/gtest.h>

#include "core/report/figures/agreement_scenes.h"
#include "core/report/figures/comparison_scenes.h"
#include "widgets/figures/card_layout.h"
#include "widgets/figures/figure_size.h"
#include "widgets/figures/figure_text.h"

namespace beatwitness::widgets {
namespace {

report::Scene maps(std::size_t devices, std::size_t activities) {
    std::vector<std::vector<report::SmallMap>> rows(devices);
    const std::vector<Bpm> rates{{100}, {120}, {160}};
    for (auto& row : rows)
        for (std::size_t i = 0; i < activities; ++i)
            row.push_back({"band · hill walk", "MAE 3.1", agreement::densityMap(rates, rates, 2)});
    return report::smallMapsScene(std::move(rows), report::Cells::Scale::Log, {"Maps", "", "", ""});
}

report::Scene intervals(int rows) {
    std::vector<report::Estimate> estimates;
    for (int i = 0; i < rows; ++i)
        for (int device = 0; device < 2; ++device)
            estimates.push_back({"activity " + std::to_string(i),
                                 device == 0 ? "band" : "watch",
                                 device,
                                 3.0 + i,
                                 {{1.0, 9.0}},
                                 "4 sessions"});
    return report::intervalsScene(estimates, "mean absolute error, bpm", {}, {}, {"Errors", "", "", ""});
}

report::Scene card() {
    const auto statement = [](const char* label, const char* value, const char* note) {
        return report::Statement{label, value, note, report::Paint::device(0)};
    };
    return report::cardScene({statement("mean absolute error", "15.8 bpm", "95 % interval 4.0 to 8.5"),
                              statement("within 5 bpm", "83 %", "of 41,176 paired seconds"),
                              statement("missed rise makes up", "41 %", "of the mean absolute error")},
                             "Does not meet the limit of 5 bpm", {"Band", "", "", ""});
}

QRectF areaOf(const FigureSize& size) {
    return QRectF(QPointF(0, 0), size.paper)
        .adjusted(size.margin.width(), size.margin.height() + size.extraTop, -size.margin.width(),
                  -size.margin.height() - size.extraBottom);
}

TEST(SceneLayout, OfPrintIsAsHighAsItsPartsNeed) {
    for (const auto& scene : {maps(2, 5), intervals(12), card()})
        for (const auto* text : {"85mm", "180mm"}) {
            const auto size = *figureSizeOf(QString::fromLatin1(text), scene);
            const auto layout = layOut(scene, areaOf(size));

            EXPECT_EQ(layout.leftOut, 0u) << text;
            for (const auto& place : layout.panels) {
                EXPECT_GT(place.axes.width(), 50.0) << text;
                EXPECT_GT(place.axes.height(), 30.0) << text;
            }
        }
}

TEST(SceneLayout, NeverPutsTwoCategoriesCloserThanALineOfText) {
    const auto scene = intervals(12);
    const auto size = *figureSizeOf(QStringLiteral("85mm"), scene);
    const auto layout = layOut(scene, areaOf(size));
    const auto& place = layout.panels.front();

    EXPECT_GE(place.y(1) - place.y(0), lineHeight(figureFont(TextSize::Small)));
}

TEST(SceneLayout, OfAFrameTellsHowManyPanelsHaveNoRoom) {
    const auto scene = maps(2, 10);
    const auto layout = layOut(scene, areaOf(*figureSizeOf(QStringLiteral("vertical"), scene)));

    EXPECT_GT(layout.leftOut, 0u);
    EXPECT_EQ(layout.panels.size() + layout.leftOut, 20u);
    for (const auto& place : layout.panels)
        EXPECT_GT(place.axes.width(), 20.0);
}

TEST(SceneLayout, PutsFlowingPanelsBesideEachOtherInAWideFrameAndBelowInATallOne) {
    const auto scene = maps(1, 3);
    const auto wide = layOut(scene, QRectF(0, 0, 540, 300)), tall = layOut(scene, QRectF(0, 0, 160, 500));

    EXPECT_DOUBLE_EQ(wide.panels[0].axes.top(), wide.panels[2].axes.top());
    EXPECT_DOUBLE_EQ(tall.panels[0].axes.left(), tall.panels[2].axes.left());
}

TEST(SceneLayout, OfACardKeepsNumbersAndWordsApart) {
    for (const auto& body : {QRectF(0, 0, 480, 200), QRectF(0, 0, 220, 100), QRectF(0, 0, 180, 200)}) {
        const auto layout = layOutCard(card(), body);
        const QFontMetricsF metrics(layout.value);

        for (std::size_t i = 0; i + 1 < layout.statements.size(); ++i) {
            const auto &one = layout.statements[i], &next = layout.statements[i + 1];
            const bool beside = one.value.y() == next.value.y();
            if (beside)
                EXPECT_LT(one.value.x() + metrics.horizontalAdvance(QStringLiteral("15.8 bpm")),
                          next.value.x());
            else
                EXPECT_LT(one.noteBox.bottom(), next.labelBox.top());
        }
        EXPECT_LE(layout.statements.back().noteBox.bottom(), layout.verdictBox.top() + 0.01);
    }
}

}  // namespace
}  // namespace beatwitness::widgets
