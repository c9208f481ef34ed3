#include "widgets/theme/palette.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <array>

#include "tests/widgets/plots/colour_difference.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;
using namespace beatwitness::widgets_test;
using widgets::contrastRatio;
using widgets::Palette;

namespace {

class BothPalettes : public ::testing::TestWithParam<const Palette*> {};

/// The least CIEDE2000 distance of any two of reference and traces as seen by `vision`.
double leastDistance(const Palette& palette, Vision vision) {
    std::vector<QColor> colours{palette.reference};
    colours.insert(colours.end(), palette.traces.begin(), palette.traces.end());
    double least = 1e9;
    for (std::size_t i = 0; i < colours.size(); ++i)
        for (std::size_t j = i + 1; j < colours.size(); ++j)
            least = std::min(least,
                             ciede2000(labOf(seenBy(vision, colours[i])), labOf(seenBy(vision, colours[j]))));
    return least;
}

/// Families of flags by what goes wrong: the signal, the rate, the timing.
enum class Family { Signal, Rate, Timing };

Family familyOf(flags::FlagKind kind) {
    using flags::FlagKind;
    switch (kind) {
        case FlagKind::HalfRate:
        case FlagKind::DoubleRate:
        case FlagKind::CadenceLock:
            return Family::Rate;
        case FlagKind::MissedRise:
        case FlagKind::Lag:
        case FlagKind::Damped:
            return Family::Timing;
        default:
            return Family::Signal;
    }
}

/// The least CIEDE2000 distance, in all four kinds of vision, of any two kinds of one family or of different
/// ones.
double leastFlagDistance(const Palette& palette, bool sameFamily) {
    double least = 1e9;
    for (const auto a : flags::allFlagKinds)
        for (const auto b : flags::allFlagKinds) {
            if (a >= b || (familyOf(a) == familyOf(b)) != sameFamily) continue;
            for (const auto vision : {Vision::Normal, Vision::Protan, Vision::Deutan, Vision::Tritan})
                least = std::min(least, ciede2000(labOf(seenBy(vision, palette.flag(a).colour)),
                                                  labOf(seenBy(vision, palette.flag(b).colour))));
        }
    return least;
}

}  // namespace

TEST_P(BothPalettes, KeepsTextReadable) {
    const Palette& p = *GetParam();

    for (const QColor& ground : {p.paper, p.surface}) {
        EXPECT_GE(contrastRatio(p.ink, ground), 7.0);
        for (const QColor& text : {p.quietInk, p.accent, p.warning})
            EXPECT_GE(contrastRatio(text, ground), 4.5);
    }
    EXPECT_GE(contrastRatio(p.onAccent, p.accent), 4.5);
    EXPECT_GE(contrastRatio(p.onBadge, p.badge), 4.5);
    EXPECT_GE(contrastRatio(p.ink, p.accentTint), 4.5);
}

TEST_P(BothPalettes, KeepsMarksVisible) {
    const Palette& p = *GetParam();

    for (const QColor& trace : p.traces)
        EXPECT_GE(contrastRatio(trace, p.paper), 3.0);
    for (const auto& style : p.flagStyles)
        EXPECT_GE(contrastRatio(style.colour, p.paper), 3.0) << style.code;
    EXPECT_GE(contrastRatio(p.accent, p.paper), 3.0);
}

TEST_P(BothPalettes, GivesEveryKindOfFlagItsOwnHatchAndCode) {
    const Palette& p = *GetParam();

    for (std::size_t i = 0; i < p.flagStyles.size(); ++i)
        for (std::size_t j = i + 1; j < p.flagStyles.size(); ++j) {
            EXPECT_NE(p.flagStyles[i].hatch, p.flagStyles[j].hatch);
            EXPECT_STRNE(p.flagStyles[i].code, p.flagStyles[j].code);
        }
}

INSTANTIATE_TEST_SUITE_P(Themes, BothPalettes,
                         ::testing::Values(&widgets::lightPalette(), &widgets::darkPalette()));

// Published: Sharma, Wu, Dalal 2005, table 1, pairs 1, 7, 13 and 17.
TEST(Ciede2000, MatchesThePublishedPairs) {
    EXPECT_NEAR(ciede2000({50, 2.6772, -79.7751}, {50, 0, -82.7485}), 2.0425, 5e-5);
    EXPECT_NEAR(ciede2000({50, 0, 0}, {50, -1, 2}), 2.3669, 5e-5);
    EXPECT_NEAR(ciede2000({50, -0.001, 2.49}, {50, 0.0011, -2.49}), 4.7461, 5e-5);
    EXPECT_NEAR(ciede2000({50, 2.5, 0}, {73, 25, -18}), 27.1492, 5e-5);
}

// The figures of the colour table that the palettes were chosen by (least distance of any two traces).
TEST(Traces, StayApartInTheLightTheme) {
    EXPECT_NEAR(leastDistance(widgets::lightPalette(), Vision::Normal), 28.8, 0.3);
    EXPECT_NEAR(leastDistance(widgets::lightPalette(), Vision::Protan), 24.6, 0.3);
    EXPECT_NEAR(leastDistance(widgets::lightPalette(), Vision::Deutan), 22.9, 0.3);
    EXPECT_NEAR(leastDistance(widgets::lightPalette(), Vision::Tritan), 23.6, 0.3);
}

TEST(Traces, StayApartInTheDarkTheme) {
    EXPECT_NEAR(leastDistance(widgets::darkPalette(), Vision::Normal), 25.2, 0.3);
    EXPECT_NEAR(leastDistance(widgets::darkPalette(), Vision::Protan), 20.1, 0.3);
    EXPECT_NEAR(leastDistance(widgets::darkPalette(), Vision::Deutan), 22.7, 0.3);
    EXPECT_NEAR(leastDistance(widgets::darkPalette(), Vision::Tritan), 18.4, 0.3);
}

TEST(Theme, AppliesTheChosenLightness) {
    widgets::applyTheme(*qApp, widgets::ThemeChoice::Dark);
    EXPECT_TRUE(widgets::currentPalette().dark);

    widgets::applyTheme(*qApp, widgets::ThemeChoice::Light);
    EXPECT_FALSE(widgets::currentPalette().dark);
}

// The colour table asks for these distances, given to half a unit.
TEST(FlagColours, StayApartInTheLightTheme) {
    EXPECT_GE(leastFlagDistance(widgets::lightPalette(), false), 14.5 - 0.05);
    EXPECT_GE(leastFlagDistance(widgets::lightPalette(), true), 11.5 - 0.05);
}

TEST(FlagColours, StayApartInTheDarkTheme) {
    EXPECT_GE(leastFlagDistance(widgets::darkPalette(), false), 14.5 - 0.05);
    EXPECT_GE(leastFlagDistance(widgets::darkPalette(), true), 13.5 - 0.05);
}
