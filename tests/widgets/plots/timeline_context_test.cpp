// The strip of a channel other than heart rate under the overlay.
#include <gtest/gtest.h>

#include <QApplication>
#include <algorithm>

#include "tests/widgets/plots/demo_session.h"
#include "widgets/plots/timeline_canvas.h"
#include "widgets/plots/timeline_view.h"
#include "widgets/theme/theme.h"

using namespace beatwitness;
using widgets::TimelineView;
using widgets_test::sessionOf;
using widgets_test::steady;

namespace {

recording::Channel channelOf(recording::ChannelKind kind, int begin_s, int end_s,
                             const recording::Channel& beside, double value) {
    recording::Channel channel;
    channel.kind = kind;
    for (int second = begin_s; second <= end_s; ++second) {
        channel.times.push_back(beside.times.front() + std::chrono::seconds{second});
        channel.values.push_back(value);
    }
    return channel;
}

void append(recording::Channel& channel, const recording::Channel& more) {
    channel.times.insert(channel.times.end(), more.times.begin(), more.times.end());
    channel.values.insert(channel.values.end(), more.values.begin(), more.values.end());
}

/// Ten minutes, both level. The strap counts 26 strokes a minute with a pause from 200 to 300 s; the band,
/// whose clock may be corrected, goes at 5 m/s.
std::shared_ptr<const analysis::SessionAnalysis> sessionWithChannels(std::optional<double> offset_s = {}) {
    using recording::ChannelKind;
    auto session = *sessionOf(steady(0, 600, 150), {steady(0, 600, 120)}, offset_s);
    auto& strap = session.reference.recording.channels;
    auto cadence = channelOf(ChannelKind::Cadence, 0, 200, strap.front(), 26);
    append(cadence, channelOf(ChannelKind::Cadence, 300, 600, strap.front(), 26));
    strap.push_back(cadence);
    auto& band = session.tests.front().file.recording.channels;
    band.push_back(channelOf(ChannelKind::Speed, 0, 600, band.front(), 5));
    return std::make_shared<const analysis::SessionAnalysis>(std::move(session));
}

class TimelineContext : public ::testing::Test {
protected:
    TimelineContext() {
        widgets::applyTheme(*qApp, widgets::ThemeChoice::Light);
        view.resize(1000, 700);
        view.setSession(sessionWithChannels());
        view.show();
        QApplication::processEvents();
        canvas = view.findChild<widgets::TimelineCanvas*>();
    }
    /// Whether the line stands in the column of `seconds` in the strip.
    [[nodiscard]] bool inkAt(double seconds) {
        const QImage image = view.grab().toImage();
        const auto& palette = widgets::lightPalette();
        // A level line may lie across two rows: nearer to the ink than to the paper is ink.
        const int middle = (palette.quietInk.lightness() + palette.paper.lightness()) / 2;
        const QRectF strip = canvas->contextRect();
        const auto [begin, end] = view.range();
        const int column = qRound(strip.left() + (seconds - begin) / (end - begin) * strip.width());
        for (int y = qCeil(strip.top()); y < strip.bottom(); ++y)
            if (image.pixelColor(column, y).lightness() < middle) return true;
        return false;
    }

    TimelineView view;
    widgets::TimelineCanvas* canvas = nullptr;
};

}  // namespace

TEST_F(TimelineContext, NamesWhatAndFromWhere) {
    EXPECT_EQ(view.contextNames(), (QStringList{"cadence, strap", "speed, band"}));
}

TEST_F(TimelineContext, NumbersWhatIsCalledAlike) {
    auto session = *sessionWithChannels();
    for (const char* file : {"a/ergometer.fit", "b/ergometer.fit"}) {
        analysis::ContextAnalysis context;
        context.file = session.reference;
        context.file.file = file;
        session.contexts.push_back(context);
    }

    view.setSession(std::make_shared<const analysis::SessionAnalysis>(std::move(session)));

    EXPECT_EQ(view.contextNames().mid(2), (QStringList{"cadence, ergometer 1", "cadence, ergometer 2"}));
}

TEST_F(TimelineContext, ShowsItsStripOnlyWhenAChannelIsChosen) {
    const QRectF error = canvas->errorRect();
    EXPECT_TRUE(canvas->contextRect().isEmpty());
    EXPECT_FALSE(inkAt(100));

    view.setContext(0);
    EXPECT_GT(canvas->contextRect().height(), 40);
    EXPECT_GT(canvas->contextRect().top(), canvas->overlayRect().bottom());
    EXPECT_LT(canvas->contextRect().bottom(), canvas->errorRect().top());
    EXPECT_TRUE(inkAt(100));

    view.setContext(std::nullopt);
    EXPECT_TRUE(canvas->contextRect().isEmpty());
    EXPECT_EQ(canvas->errorRect(), error);
}

TEST_F(TimelineContext, TakesTheStripAwayWithoutATrace) {
    const QImage before = view.grab().toImage();

    view.setContext(0);
    view.setContext(std::nullopt);

    EXPECT_EQ(view.grab().toImage(), before);
}

TEST_F(TimelineContext, LeavesAPauseOfTheChannelEmpty) {
    view.setContext(0);

    EXPECT_TRUE(inkAt(190));
    EXPECT_FALSE(inkAt(250));
    EXPECT_TRUE(inkAt(310));
}

TEST_F(TimelineContext, FollowsTheRangeOfTheOtherStrips) {
    view.setContext(0);

    view.setRange(210, 290);
    EXPECT_FALSE(inkAt(250));
    view.setRange(100, 180);
    EXPECT_TRUE(inkAt(140));
}

// By hand: 5 m/s are 18 km/h.
TEST_F(TimelineContext, ShowsSpeedInKilometresAnHour) {
    view.setContext(1);

    const auto [lowest, highest] = canvas->contextRange();
    EXPECT_LT(lowest, 18);
    EXPECT_GT(highest, 18);
    EXPECT_NEAR((lowest + highest) / 2, 18, 1e-6);
}

TEST_F(TimelineContext, HasAtMostThreeTicks) {
    using recording::ChannelKind;
    for (const double highest : {1.0, 27.0, 99.0, 340.0, 8848.0}) {
        auto session = *sessionWithChannels();
        auto& cadence = session.reference.recording.channels.back();
        cadence.values.front() = 0;
        cadence.values.back() = highest;
        view.setSession(std::make_shared<const analysis::SessionAnalysis>(std::move(session)));
        view.setContext(0);
        view.grab();

        EXPECT_GE(canvas->contextTicks().size(), 1U) << highest;
        const auto [low, high] = canvas->contextRange();
        const auto shown = std::ranges::count_if(canvas->contextTicks(),
                                                 [&](double tick) { return tick >= low && tick <= high; });
        EXPECT_LE(shown, 3) << highest;
        EXPECT_GE(shown, 1) << highest;
    }
}

TEST_F(TimelineContext, KeepsTheChoiceForAnotherSessionOfTheSameFiles) {
    view.setContext(1);

    view.setSession(sessionOf(steady(0, 600, 150), {steady(0, 600, 120)}));
    EXPECT_EQ(view.contextIndex(), std::nullopt);
    view.setSession(sessionWithChannels());

    EXPECT_EQ(view.contextIndex(), 1);
}

// By hand: under an offset of 30 s the band's first sample stands at 30 s, as recorded at 0 s.
TEST_F(TimelineContext, MovesAChannelOfATestWithItsClock) {
    view.setSession(sessionWithChannels(30.0));
    view.setContext(1);
    EXPECT_DOUBLE_EQ(view.context()->seconds.front(), 30.0);

    view.setAligned(false);

    EXPECT_EQ(view.contextIndex(), 1);
    EXPECT_DOUBLE_EQ(view.context()->seconds.front(), 0.0);
}

TEST_F(TimelineContext, TellsAScreenReaderTheValueAtTheCursor) {
    view.setContext(0);

    view.setCursor(100.0);
    EXPECT_TRUE(view.accessibleDescription().endsWith(", cadence, strap 26\u00A0/min"));
    view.setCursor(250.0);
    EXPECT_TRUE(view.accessibleDescription().endsWith(", cadence, strap \u2014"));
}
