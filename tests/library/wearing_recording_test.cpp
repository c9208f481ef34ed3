#include "core/library/wearing_recording.h"

#include <gtest/gtest.h>

using namespace beatwitness;
using library::DrawnRecording;
using library::drawnTogether;

namespace {

RecordingTime at(std::int64_t second) {
    return RecordingTime{Micros{second * 1000000}};
}

/// A sample a second, its value the second.
recording::RecordingFile file(const std::string& name, std::int64_t first, std::int64_t last) {
    recording::RecordingFile made{name, name + "-digest", {}};
    recording::Channel rates;
    for (auto second = first; second <= last; ++second) {
        rates.times.push_back(at(second));
        rates.values.push_back(static_cast<double>(second));
    }
    made.recording.rows = rates.times.size();
    made.recording.channels.push_back(rates);
    made.recording.laps = {{{at(first), at(last)}, "all"}};
    return made;
}

}  // namespace

TEST(WearingRecording, AWholeFileStaysAsItIs) {
    const auto drawn = drawnTogether({{file("a", 1, 9), std::nullopt}});

    EXPECT_EQ(drawn.file, "a");
    EXPECT_EQ(drawn.recording.rows, 9u);
}

TEST(WearingRecording, ASpanKeepsItsEdges) {
    const auto drawn = drawnTogether({{file("a", 1, 9), Span<RecordingClock>{at(3), at(5)}}});

    EXPECT_EQ(drawn.recording.channels[0].values, (std::vector<double>{3, 4, 5}));
    EXPECT_EQ(drawn.recording.rows, 3u);
}

TEST(WearingRecording, LapsEndWhereTheSpanEnds) {
    const auto drawn = drawnTogether({{file("a", 1, 9), Span<RecordingClock>{at(3), at(5)}}});

    EXPECT_EQ(drawn.recording.laps[0].span.begin, at(3));
    EXPECT_EQ(drawn.recording.laps[0].span.end, at(5));
}

TEST(WearingRecording, ASpanBesideTheFileLeavesNoChannel) {
    const auto drawn = drawnTogether({{file("a", 1, 9), Span<RecordingClock>{at(30), at(50)}}});

    EXPECT_TRUE(drawn.recording.channels.empty());
    EXPECT_TRUE(drawn.recording.laps.empty());
}

TEST(WearingRecording, SeveralFilesFollowEachOther) {
    const auto drawn = drawnTogether({{file("a", 1, 2), std::nullopt}, {file("b", 11, 12), std::nullopt}});

    EXPECT_EQ(drawn.recording.channels[0].values, (std::vector<double>{1, 2, 11, 12}));
    EXPECT_EQ(drawn.file, "a + b");
    EXPECT_EQ(drawn.sha256, "a-digest + b-digest");
    EXPECT_EQ(drawn.recording.rows, 4u);
    EXPECT_EQ(drawn.recording.laps.size(), 2u);
}
