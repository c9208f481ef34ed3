#pragma once

#include "core/recording/xml_collector.h"
#include "core/recording/xml_walk.h"

namespace beatwitness::recording::xml {

/// What is taken of GPX 1.0 and 1.1, by local name:
///
/// | gpx     | its attribute creator names the device                                              |
/// | trk     | several follow one another; nothing is said of the time between two                 |
/// | type    | of a track: the sport                                                               |
/// | trkseg  | a second one within a track: the receiver was off between them, which is a pause    |
/// | trkpt   | time, ele; at any depth (1.1 in extensions, 1.0 beside them): heart rate, cadence,  |
/// |         | power, speed, distance (xml_names.h)                                                |
///
/// Way points and routes are no recordings. Source: the open GPX schema.
class GpxSink final : public XmlSink {
public:
    explicit GpxSink(XmlCollector& collector) : collector_(collector) {}

    bool enter(std::string_view localName, pugi::xml_node element, std::size_t byte) override;
    void leave(std::string_view) override {}
    void take(std::string_view localName, pugi::xml_node element, std::size_t byte) override;

private:
    XmlCollector& collector_;
    std::size_t segments_ = 0;  ///< of the open track
};

}  // namespace beatwitness::recording::xml
