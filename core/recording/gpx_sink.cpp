#include "core/recording/gpx_sink.h"

namespace beatwitness::recording::xml {

bool GpxSink::enter(std::string_view localName, pugi::xml_node element, std::size_t) {
    if (localName == "gpx") {
        collector_.nameDevice(element.attribute("creator").value());
    } else if (localName == "trk") {
        collector_.beginAnew();
        segments_ = 0;
    } else if (localName == "trkseg") {
        if (segments_++ > 0) collector_.stopUntilNextPoint();
    }
    return true;
}

void GpxSink::take(std::string_view localName, pugi::xml_node element, std::size_t byte) {
    if (localName == "trkpt") collector_.addPoint(element, byte);
}

}  // namespace beatwitness::recording::xml
