#pragma once

#include <optional>
#include <string>

#include "core/recording/xml_collector.h"
#include "core/recording/xml_walk.h"

namespace beatwitness::recording::xml {

/// A lap while its elements are read.
struct OpenTcxLap {
    std::optional<RecordingTime> begin;
    std::optional<Micros> length;
    std::string label;
    std::size_t tracks = 0;
};

/// What is taken of TCX, by local name:
///
/// | Lap                   | StartTime and TotalTimeSeconds span it, Notes label it (else "lap N")          |
/// | Track                 | a second one within a lap: recording was paused between them                   |
/// | Trackpoint            | Time, HeartRateBpm/Value, Cadence, AltitudeMeters, DistanceMeters; Extensions  |
/// |                       | at any depth: RunCadence, Watts, Speed                                         |
/// | Creator               | Name, the device; UnitId, its number; Version, its firmware                    |
/// | Activity              | its attribute Sport                                                            |
///
/// Several activities follow one another. A lap without StartTime begins with its first point, one without
/// TotalTimeSeconds ends with its last. Source: the open TCX schema, version 2.
class TcxSink final : public XmlSink {
public:
    explicit TcxSink(XmlCollector& collector) : collector_(collector) {}

    bool enter(std::string_view localName, pugi::xml_node element, std::size_t byte) override;
    void leave(std::string_view localName) override;
    void take(std::string_view localName, pugi::xml_node element, std::size_t byte) override;

private:
    void takeCreator(pugi::xml_node element);
    void closeLap();

    XmlCollector& collector_;
    std::optional<OpenTcxLap> lap_;
};

}  // namespace beatwitness::recording::xml
