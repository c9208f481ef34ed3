#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "core/recording/recording.h"
#include "core/recording/text_rows.h"
#include "core/recording/text_times.h"
#include "core/recording/text_zones.h"

namespace beatwitness::recording::xml {

/// Makes a Recording of the track points of TCX and GPX.
///
/// A point is a row where it has a time that can be read; its values may stand at any depth under it
/// (xml_names.h), of two of one kind the first is taken. Heart rates of 0 and 255 and a cadence of 255 are
/// missing.
class XmlCollector {
public:
    /// `zone` is for times written without one.
    explicit XmlCollector(std::optional<text::Zone> zone);

    /// `byte`: where it begins in the file.
    void addPoint(pugi::xml_node point, std::size_t byte);

    /// The file says that recording stopped here and goes on with the next point: a pause.
    void stopUntilNextPoint();
    /// The next point belongs to another lap or track: nothing is said of the time between.
    void beginAnew();

    /// An instant that is no row, such as the start of a lap.
    [[nodiscard]] std::optional<RecordingTime> instant(std::string_view text);
    /// Times of the first and the last row since beginAnew().
    [[nodiscard]] std::optional<RecordingTime> firstSinceAnew() const { return stretchFirst_; }
    [[nodiscard]] std::optional<RecordingTime> lastSinceAnew() const { return stretchLast_; }

    void addLap(Lap lap);
    [[nodiscard]] std::size_t lapCount() const { return laps_.size(); }
    /// The first name stays.
    void nameDevice(std::string_view name);
    void nameSport(std::string_view sport);
    void nameUnit(std::string_view serial, std::string_view firmware);

    /// Everything taken, with warnings on what was left out. Call once.
    [[nodiscard]] Recording finish(Format format);

private:
    /// How often something happened, and where first.
    struct Tally {
        std::size_t count = 0, firstByte = 0;
        std::string example;

        void add(std::size_t byte, std::string_view text = {});
    };

    [[nodiscard]] std::optional<RecordingTime> timeOf(std::string_view text);
    void addRow(RecordingTime time, std::size_t byte);
    void addValues(pugi::xml_node point, RecordingTime time, std::size_t byte);
    void addValue(ChannelKind kind, std::string_view text, RecordingTime time, std::size_t byte);
    void settleClock(Recording& recording) const;
    void warn(Recording& recording) const;

    text::TimeReader times_;
    text::Row cell_;
    bool hasZoneOption_;
    std::array<Channel, 7> channels_;  ///< by ChannelKind
    std::vector<Lap> laps_;
    std::vector<Span<RecordingClock>> pauses_;
    std::optional<RecordingTime> last_, stretchFirst_, stretchLast_, stoppedAt_;
    std::string device_, serial_, firmware_, sport_;
    std::size_t rows_ = 0;
    std::size_t zonedTimes_ = 0;
    Tally unzoned_, withoutTime_, unreadableTime_, unreadable_, backwards_, repeated_;
};

}  // namespace beatwitness::recording::xml
